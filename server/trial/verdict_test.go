package trial

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	spb "google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// verdict is what a caller learns from a call over either transport.
type verdict struct {
	status *status.Status
	answer proto.Message // of a call that is OK, without its duration
}

// violations lists the faulty fields with their descriptions.
func (v verdict) violations() (all []*errdetails.BadRequest_FieldViolation) {
	for _, d := range v.status.Details() {
		if b, ok := d.(*errdetails.BadRequest); ok {
			all = append(all, b.GetFieldViolations()...)
		}
	}
	return all
}

// fields lists the paths of the faulty fields.
func (v verdict) fields() (all []string) {
	for _, f := range v.violations() {
		all = append(all, f.GetField())
	}
	return all
}

// says gives everything that the caller is told in words.
func (v verdict) says() string {
	all := []string{v.status.Message()}
	for _, f := range v.violations() {
		all = append(all, f.GetField()+" "+f.GetDescription())
	}
	return strings.Join(all, "\n")
}

func (v verdict) String() string {
	if v.status.Code() == codes.OK {
		return fmt.Sprintf("OK %v", v.answer)
	}
	return fmt.Sprintf("%s %s", v.status.Code(), v.says())
}

// grpc makes a call over gRPC.
func (h *house) grpc(t *testing.T, req proto.Message) verdict {
	t.Helper()
	var answer proto.Message
	var err error
	switch m := req.(type) {
	case *ripwrightv1.SolveBoardRequest:
		answer, err = h.rpc.SolveBoard(t.Context(), m)
	case *ripwrightv1.CheckPlanRequest:
		answer, err = h.rpc.CheckPlan(t.Context(), m)
	case *ripwrightv1.ConfirmCutRequest:
		answer, err = h.rpc.ConfirmCut(t.Context(), m)
	case *ripwrightv1.DrawPlanRequest:
		answer, err = h.rpc.DrawPlan(t.Context(), m)
	default:
		answer, err = h.plan(t, req)
	}
	return verdict{status.Convert(err), timeless(answer)}
}

// json makes the same call over JSON and checks that the HTTP status matches the code.
func (h *house) json(t *testing.T, req proto.Message) verdict {
	t.Helper()
	body, err := protojson.Marshal(req)
	if err != nil {
		t.Fatal(err)
	}
	path, answer := solvePath, proto.Message(&ripwrightv1.SolveBoardResponse{})
	switch req.(type) {
	case *ripwrightv1.CheckPlanRequest:
		path, answer = checkPath, &ripwrightv1.CheckPlanResponse{}
	case *ripwrightv1.ConfirmCutRequest:
		path, answer = confirmPath, &ripwrightv1.ConfirmCutResponse{}
	case *ripwrightv1.DrawPlanRequest:
		path, answer = drawPath, &ripwrightv1.DrawPlanResponse{}
	default:
		if p, of := planPath(req); of != nil {
			path, answer = p, of
		}
	}
	r := h.post(t, path, string(body))
	_, watched := req.(*ripwrightv1.WatchQuoteRequest)
	// Every line of a stream says what it is; a request that was not read has none.
	if line, is := strings.CutPrefix(strings.TrimSpace(r.body), `{"error":`); watched && is {
		r.body = strings.TrimSuffix(line, "}")
	} else if watched && r.code == http.StatusOK {
		r.body = strings.TrimSuffix(strings.TrimSpace(r.body), "}")
	}
	if r.code != http.StatusOK {
		v := refusal(t, r)
		if want := runtime.HTTPStatusFromCode(v.status.Code()); r.code != want {
			t.Errorf("HTTP status %d for %s, want %d", r.code, v, want)
		}
		return v
	}
	if watched {
		lastQuote(t, r.body, answer)
	} else if err := protojson.Unmarshal([]byte(r.body), answer); err != nil {
		t.Fatalf("%v in %s", err, r.body)
	}
	return verdict{status.New(codes.OK, ""), timeless(answer)}
}

// refusal reads the JSON of a call that was refused.
func refusal(t *testing.T, r reply) verdict {
	t.Helper()
	var s spb.Status
	if err := protojson.Unmarshal([]byte(r.body), &s); err != nil {
		t.Fatalf("%d: %v in %.200s", r.code, err, r.body)
	}
	return verdict{status: status.FromProto(&s)}
}

// either makes a call over one transport and the next over the other; with every, each
// over both.
func (h *house) either(t *testing.T, req proto.Message) verdict {
	t.Helper()
	switch {
	case every:
		return h.both(t, req)
	case h.turn.Add(1)%2 == 0:
		return h.json(t, h.named(req))
	}
	return h.grpc(t, h.named(req))
}

// named gives a confirmation a name of its own, as different content needs.
func (h *house) named(req proto.Message) proto.Message {
	m, ok := req.(*ripwrightv1.ConfirmCutRequest)
	if !ok || m.GetConfirmationId() != goodID {
		return req
	}
	m = proto.CloneOf(m)
	m.ConfirmationId = fmt.Sprintf("%s%d", goodID, h.confirmed.Add(1))
	return m
}

// both makes a call over both transports and checks that the results are the same.
func (h *house) both(t *testing.T, req proto.Message) verdict {
	t.Helper()
	req = h.named(req)
	a, b := h.grpc(t, req), h.json(t, req)
	switch {
	case a.status.Code() != b.status.Code() || a.status.Message() != b.status.Message():
		t.Errorf("gRPC says %s\nJSON says %s", a, b)
	case a.status.Code() == codes.OK:
		if !proto.Equal(a.answer, b.answer) {
			t.Errorf("gRPC says %s\nJSON says %s", a, b)
		}
	case !proto.Equal(a.status.Proto(), b.status.Proto()):
		t.Errorf("details by gRPC %s\nby JSON %s", a, b)
	}
	return a
}

// timeless removes how long a search took and whether the same was asked before.
func timeless(answer proto.Message) proto.Message {
	switch m := answer.(type) {
	case *ripwrightv1.SolveBoardResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	case *ripwrightv1.CheckPlanResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	case *ripwrightv1.ConfirmCutResponse:
		if m != nil {
			m.Result = 0
		}
	case *ripwrightv1.DrawPlanResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	case *ripwrightv1.PlanValuesResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	case *ripwrightv1.QuoteOrderResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	case *ripwrightv1.PlanArborResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	case *ripwrightv1.SequenceOrdersResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	case *ripwrightv1.ShareOrderResponse:
		if m != nil {
			m.SolveTimeUs = 0
		}
	}
	return answer
}
