package trial

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// newer is a field that a later release may have.
var newer = protowire.AppendVarint(protowire.AppendTag(nil, 20000, protowire.VarintType), 1)

// withNewer calls try with a request for every message within it, in which that message
// has an unknown field.
func withNewer(req proto.Message, try func(path string, spoiled proto.Message)) {
	var walk func(path string, reach func(protoreflect.Message) protoreflect.Message)
	walk = func(path string, reach func(protoreflect.Message) protoreflect.Message) {
		spoiled := proto.Clone(req)
		reach(spoiled.ProtoReflect()).SetUnknown(newer)
		try(strings.TrimPrefix(path+".20000", "."), spoiled)
		reach(req.ProtoReflect()).Range(func(f protoreflect.FieldDescriptor, v protoreflect.Value) bool {
			switch {
			case f.Message() == nil:
			case f.IsList():
				for i := range v.List().Len() {
					walk(fmt.Sprintf("%s.%s[%d]", path, f.Name(), i), func(m protoreflect.Message) protoreflect.Message {
						return reach(m).Get(f).List().Get(i).Message()
					})
				}
			default:
				walk(path+"."+string(f.Name()), func(m protoreflect.Message) protoreflect.Message { return reach(m).Get(f).Message() })
			}
			return true
		})
	}
	walk("", func(m protoreflect.Message) protoreflect.Message { return m })
}

// A field that this release does not know is refused over gRPC, wherever it is: otherwise
// what it asks for would be ignored silently.
func TestUnknownFieldsOverGRPC(t *testing.T) {
	h := open(t)
	tried := 0
	for _, req := range requests(t) {
		withNewer(req, func(path string, spoiled proto.Message) {
			tried++
			v := h.grpc(t, spoiled)
			if v.status.Code() != codes.InvalidArgument || !slices.Equal(v.fields(), []string{path}) || v.violations()[0].GetReason() != "UNKNOWN_FIELD" {
				t.Errorf("%s of %s: %s", path, req.ProtoReflect().Descriptor().Name(), v)
			}
		})
	}
	for _, m := range lineMessages(t) {
		withNewer(m, func(path string, spoiled proto.Message) {
			tried++
			wrong, lives := h.tell(t, spoiled.(*ripwrightv1.RunLineRequest))
			if _, ok := wrong[path]; !ok || len(wrong) != 1 || lives == (m.GetSetUp() != nil) {
				t.Errorf("%s of a line's message: %v, the stream stays open: %t", path, wrong, lives)
			}
		})
	}
	if tried < 150 {
		t.Errorf("%d places were tried", tried)
	}
	quiet(t, h)
}

// reason is why a call ended, for programs; every status has one.
func reason(s *status.Status) string {
	for _, d := range s.Details() {
		if i, ok := d.(*errdetails.ErrorInfo); ok && i.GetDomain() == "ripwright" {
			return i.GetReason()
		}
	}
	return ""
}

// Errors have reasons, including those outside the calls.
func TestReasons(t *testing.T) {
	h := open(t)
	small := goodSolve(t)
	small.Board.LengthMm = 599
	for _, s := range small.Board.Stations {
		s.XMm /= 100
	}
	small.Board.Defects = nil
	unknown := goodSolve(t)
	unknown.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: "egret"}
	wrong := goodSolve(t)
	wrong.Board.LengthMm = -1
	for want, req := range map[string]proto.Message{"BOARD_OUTSIDE_SAW_LIMITS": small, "UNKNOWN_SAW": unknown, "WRONG_FIELDS": wrong} {
		if v := h.both(t, req); reason(v.status) != want {
			t.Errorf("%s: %s, %q", want, v, reason(v.status))
		}
	}
	for what, c := range map[string]struct{ method, path, kind, body, want string }{
		"a wrong method":    {http.MethodGet, solvePath, "application/json", "", "WRONG_METHOD"},
		"no such path":      {http.MethodPost, "/v1/boards:saw", "application/json", "{}", "UNKNOWN_PATH"},
		"no JSON":           {http.MethodPost, solvePath, "application/json", "{", "MALFORMED_REQUEST"},
		"another type":      {http.MethodPost, solvePath, "text/plain", "{}", "WRONG_CONTENT_TYPE"},
		"an unknown field":  {http.MethodPost, solvePath, "application/json", `{"bord": 1}`, "WRONG_FIELDS"},
		"too large":         {http.MethodPost, solvePath, "application/json", `{"x": "` + strings.Repeat("x", 5<<20) + `"}`, "REQUEST_TOO_LARGE"},
		"an unknown query":  {http.MethodGet, "/v1/saws?page_sise=3", "", "", "WRONG_FIELDS"},
		"a query to a body": {http.MethodPost, solvePath + "?board.length_mm=3", "application/json", "{}", "WRONG_FIELDS"},
		"a wrong page size": {http.MethodGet, "/v1/saws?page_size=0", "", "", "WRONG_FIELDS"},
		"a wrong token":     {http.MethodGet, "/v1/saws?page_token=!", "", "", "WRONG_FIELDS"},
	} {
		r := h.send(t, c.method, c.path, http.Header{"Content-Type": {c.kind}}, strings.NewReader(c.body))
		if got := reason(refusal(t, r).status); got != c.want || r.code < 400 {
			t.Errorf("%s: %d %q, want %s", what, r.code, got, c.want)
		}
	}
	quiet(t, h)
}

// A caller's name for a call is returned with the answer, or the refusal.
func TestRequestID(t *testing.T) {
	h := open(t)
	for _, body := range []string{"{}", "{"} {
		r := h.send(t, http.MethodPost, solvePath, http.Header{"Content-Type": {"application/json"}, "X-Request-Id": {"shift 2/17"}}, strings.NewReader(body))
		if got := r.header.Get("X-Request-Id"); got != "shift 2/17" {
			t.Errorf("%s: echoed %q", body, got)
		}
	}
	r := h.send(t, http.MethodPost, solvePath, http.Header{"Content-Type": {"application/json"}}, strings.NewReader("{}"))
	if _, ok := r.header["X-Request-Id"]; ok {
		t.Error("an X-Request-Id that the caller did not send")
	}
	var back metadata.MD
	ctx := metadata.AppendToOutgoingContext(t.Context(), "x-request-id", "shift 2/18", "traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")
	if _, err := h.rpc.SolveBoard(ctx, goodSolve(t), grpc.Header(&back)); err != nil {
		t.Fatal(err)
	}
	if got := back.Get("x-request-id"); !slices.Equal(got, []string{"shift 2/18"}) {
		t.Errorf("echoed %q", got)
	}
	s, err := h.rpc.RunLine(metadata.AppendToOutgoingContext(t.Context(), "x-request-id", "line 3"))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Send(lineMessages(t)[0]); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Recv(); err != nil {
		t.Fatal(err)
	}
	if md, err := s.Header(); err != nil || !slices.Equal(md.Get("x-request-id"), []string{"line 3"}) {
		t.Errorf("a stream: %v %v", md, err)
	}
	found := false
	for _, e := range h.log.FilterMessage("call").All() {
		found = found || e.ContextMap()["traceparent"] == "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"
	}
	if !found {
		t.Error("the log lacks the trace")
	}
}

// The service describes itself, and lists its saws by pages.
func TestInfo(t *testing.T) {
	h := open(t)
	r := h.send(t, http.MethodGet, "/v1/serverInfo", nil, nil)
	var info struct {
		Release         string           `json:"release"`
		Limits          []map[string]any `json:"limits"`
		MaxRequestBytes int              `json:"max_request_bytes"`
		MaxStateBytes   int              `json:"max_state_bytes"`
	}
	if err := json.Unmarshal([]byte(r.body), &info); err != nil || info.Release == "" || len(info.Limits) < 100 || info.MaxRequestBytes != 4<<20 || info.MaxStateBytes != 3<<20 {
		t.Errorf("%v %.300s", err, r.body)
	}
	client := ripwrightv1.NewInfoServiceClient(h.conn)
	var names []string
	token := ""
	for range 3 {
		page, err := client.ListSaws(t.Context(), &ripwrightv1.ListSawsRequest{PageSize: proto.Int32(1), PageToken: token})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range page.GetSaws() {
			names = append(names, s.GetSaw().GetName())
			solve := goodSolve(t)
			solve.CurrentSetting = nil
			solve.SawChoice = &ripwrightv1.SolveBoardRequest_Saw{Saw: s.GetSaw()}
			solve.Order.Items = nil
			// A saw can be sent as it is listed, and then has the listed fingerprints.
			answer, err := h.rpc.SolveBoard(context.Background(), solve)
			if err != nil || answer.GetArborFingerprint() != s.GetArborFingerprint() || answer.GetSawFingerprint() != s.GetSawFingerprint() {
				t.Errorf("%s: %v %v", s.GetSaw().GetName(), answer, err)
			}
		}
		if token = page.GetNextPageToken(); token == "" {
			break
		}
	}
	if !slices.Equal(names, []string{"heron", "plover"}) {
		t.Errorf("the saws are %v", names)
	}
	r = h.send(t, http.MethodGet, "/v1/saws?page_size=1&pageToken="+token, nil, nil)
	if r.code != http.StatusOK || !strings.Contains(r.body, `"heron"`) {
		t.Errorf("by JSON: %d %s", r.code, r.body)
	}
}
