package trial

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"net"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/http2"
	"golang.org/x/net/http2/hpack"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	spb "google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// bare speaks HTTP/2 as no library would (RFC 9113).
type bare struct {
	*http2.Framer
	block  bytes.Buffer
	encode *hpack.Encoder
	next   uint32
}

func dial(t *testing.T, to string) *bare {
	t.Helper()
	c, err := net.Dial("tcp", to)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() })
	_ = c.SetDeadline(time.Now().Add(time.Minute)) // a test that hangs fails
	if _, err := c.Write([]byte(http2.ClientPreface)); err != nil {
		t.Fatal(err)
	}
	b := &bare{Framer: http2.NewFramer(c, c), next: 1}
	b.encode = hpack.NewEncoder(&b.block)
	b.ReadMetaHeaders = hpack.NewDecoder(4096, nil)
	if err := b.WriteSettings(); err != nil {
		t.Fatal(err)
	}
	return b
}

// call sends one call and returns the headers that end it, or how it ended without any.
func (b *bare) call(t *testing.T, headers []string, data []byte) (map[string]string, string) {
	t.Helper()
	b.block.Reset()
	for i := 0; i < len(headers); i += 2 {
		if headers[i+1] != "" {
			_ = b.encode.WriteField(hpack.HeaderField{Name: headers[i], Value: headers[i+1]})
		}
	}
	id := b.next
	b.next += 2
	for first, rest := true, b.block.Bytes(); len(rest) > 0; first = false {
		n := min(len(rest), 16<<10)
		var err error
		if first {
			err = b.WriteHeaders(http2.HeadersFrameParam{StreamID: id, BlockFragment: rest[:n], EndHeaders: n == len(rest), EndStream: data == nil})
		} else {
			err = b.WriteContinuation(id, n == len(rest), rest[:n])
		}
		if err != nil {
			return nil, err.Error() // the server may hang up before everything is sent
		}
		rest = rest[n:]
	}
	if data != nil {
		if err := b.WriteData(id, true, data); err != nil {
			return nil, err.Error()
		}
	}
	for {
		f, err := b.ReadFrame()
		if err != nil {
			return nil, err.Error()
		}
		switch f := f.(type) {
		case *http2.MetaHeadersFrame:
			if f.StreamID == id && f.StreamEnded() {
				all := map[string]string{}
				for _, h := range f.Fields {
					all[h.Name] = h.Value
				}
				return all, ""
			}
		case *http2.RSTStreamFrame:
			if f.StreamID == id {
				return nil, f.ErrCode.String()
			}
		}
	}
}

func message(flag byte, length int, content string) []byte {
	return append(binary.BigEndian.AppendUint32([]byte{flag}, uint32(length)), content...)
}

// packed is a message of zeros, compressed.
func packed(n int) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, _ = z.Write(make([]byte, n)) // a buffer takes all
	_ = z.Close()
	return message(1, b.Len(), b.String())
}

const solveBoard = "/ripwright.v1.RipService/SolveBoard"

// with gives the headers of a valid call with some of them changed; "" leaves one out.
func with(change ...string) []string {
	all := []string{":method", "POST", ":scheme", "http", ":path", solveBoard, ":authority", "mill", "content-type", "application/grpc", "te", "trailers"}
	for i := 0; i < len(change); i += 2 {
		at := -1
		for k := 0; k < len(all); k += 2 {
			if all[k] == change[i] {
				at = k
			}
		}
		if at < 0 {
			all = append(all, change[i:i+2]...)
			continue
		}
		all[at+1] = change[i+1]
	}
	return all
}

// Every status has an ErrorInfo, even those that gRPC makes before any handler sees the
// call. A call that is reset has no status.
func TestTransportsOwnReasons(t *testing.T) {
	h := open(t)
	b := dial(t, h.conn.Target())
	for _, c := range []struct {
		what    string
		headers []string
		data    []byte
		code    codes.Code
		reason  string
	}{
		{"a good one", with(), message(0, 0, ""), codes.InvalidArgument, "WRONG_FIELDS"},
		{"another content type", with("content-type", "application/json"), message(0, 0, ""), codes.InvalidArgument, "WRONG_CONTENT_TYPE"},
		{"no content type", with("content-type", ""), nil, codes.InvalidArgument, "WRONG_CONTENT_TYPE"},
		{"another HTTP method", with(":method", "GET"), nil, codes.Internal, "TRANSPORT"},
		{"two hosts", append(with("host", "mill"), "host", "other"), nil, codes.Internal, "TRANSPORT"},
		{"no host", with(":authority", ""), nil, codes.Internal, "TRANSPORT"},
		{"a time limit that cannot be read", with("grpc-timeout", "soon"), nil, codes.Internal, "TRANSPORT"},
		{"a time limit of nothing", with("grpc-timeout", "0n"), nil, codes.DeadlineExceeded, "DEADLINE_OVER"},
		{"bytes that are not base64", with("x-bin", "?!"), nil, codes.Internal, "TRANSPORT"},
		{"long bytes that are not base64", with("x-bin", strings.Repeat("?", 3000)), nil, codes.Internal, "TRANSPORT"},
		{"no path", with(":path", ""), nil, codes.Unimplemented, "UNKNOWN_CALL"},
		{"a path of one part", with(":path", "saw"), nil, codes.Unimplemented, "UNKNOWN_CALL"},
		{"an unknown service", with(":path", "/ripwright.v1.Planer/Plane"), nil, codes.Unimplemented, "UNKNOWN_CALL"},
		{"an unknown call", with(":path", "/ripwright.v1.RipService/Plane"), nil, codes.Unimplemented, "UNKNOWN_CALL"},
		{"an unknown compression", with("grpc-encoding", "sawdust"), message(1, 2, "ab"), codes.Unimplemented, "UNKNOWN_COMPRESSION"},
		{"a known compression that breaks off", with("grpc-encoding", "gzip"), message(1, 2, "ab"), codes.Internal, "TRANSPORT"},
		{"one that becomes too long", with("grpc-encoding", "gzip"), packed(5 << 20), codes.ResourceExhausted, "REQUEST_TOO_LARGE"},
		{"compressed, it does not say how", with(), message(1, 2, "ab"), codes.Internal, "TRANSPORT"},
		{"neither compressed nor not", with(), message(9, 2, "ab"), codes.Internal, "TRANSPORT"},
		{"a message that is too long", with(), message(0, 1<<30, "ab"), codes.ResourceExhausted, "REQUEST_TOO_LARGE"},
		{"one too long for any machine", with(), message(0, 1<<32-1, "ab"), codes.ResourceExhausted, "REQUEST_TOO_LARGE"},
		{"a message on a line that is too long", with(":path", "/ripwright.v1.RipService/RunLine"), message(0, 1<<30, "ab"), codes.ResourceExhausted, "REQUEST_TOO_LARGE"},
		{"a message that breaks off", with(), message(0, 9, "ab"), codes.Internal, "TRANSPORT"},
		{"a head that breaks off", with(), []byte{0, 0}, codes.Internal, "TRANSPORT"},
		{"no message", with(), []byte{}, codes.Internal, "TRANSPORT"},
		{"two messages", with(), append(message(0, 0, ""), message(0, 0, "")...), codes.Internal, "TRANSPORT"},
		{"another good one", with(), message(0, 0, ""), codes.InvalidArgument, "WRONG_FIELDS"},
	} {
		ended, reset := b.call(t, c.headers, c.data)
		if err := explained(ended, c.code, c.reason); err != nil {
			t.Errorf("%s: %v; it ended with %v %s", c.what, err, ended, reset)
		}
	}
	for what, headers := range map[string][]string{
		"more headers than are taken": with("x-much", strings.Repeat("?", 40<<10)),
		"a header of HTTP/1":          with("connection", "close"),
		"no pseudo-header first":      append([]string{"x-first", "1"}, with()...),
	} {
		ended, reset := dial(t, h.conn.Target()).call(t, headers, nil)
		t.Logf("%s: %s", what, reset)
		if reset == "" {
			t.Errorf("%s: has a status now; mention it in the reference: %v", what, ended)
		}
	}
	quiet(t, h)
}

// explained reports what an ending lacks.
func explained(ended map[string]string, code codes.Code, reason string) error {
	if got := ended["grpc-status"]; got != strconv.Itoa(int(code)) {
		return fmt.Errorf("status %q, want %s", got, code)
	}
	raw, err := base64.RawStdEncoding.DecodeString(ended["grpc-status-details-bin"])
	if err != nil {
		return err
	}
	var s spb.Status
	if err := proto.Unmarshal(raw, &s); err != nil {
		return err
	}
	var info errdetails.ErrorInfo
	if s.Code != int32(code) || s.Message == "" || len(s.Details) == 0 || s.Details[0].UnmarshalTo(&info) != nil || info.Domain != "ripwright" || info.Reason != reason {
		return fmt.Errorf("details %v, want %s", &s, reason)
	}
	return nil
}

// Libraries read those reasons like any other, and whatever else an ending has is kept.
func TestTransportsOwnReasonsAreRead(t *testing.T) {
	h := open(t)
	long := goodSolve(t)
	long.Order.Items[0].ItemId = strings.Repeat("x", 5<<20)
	for range 3 {
		var header metadata.MD
		_, err := h.rpc.SolveBoard(t.Context(), long, grpc.Header(&header))
		if s := status.Convert(err); s.Code() != codes.ResourceExhausted || reason(s) != "REQUEST_TOO_LARGE" || !strings.Contains(s.Message(), "larger than max") {
			t.Errorf("%v, reason %q", err, reason(s))
		}
		err = h.conn.Invoke(t.Context(), "/ripwright.v1.RipService/Plane", &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{})
		if s := status.Convert(err); s.Code() != codes.Unimplemented || reason(s) != "UNKNOWN_CALL" {
			t.Errorf("%v, reason %q", err, reason(s))
		}
		if _, err := h.rpc.SolveBoard(t.Context(), goodSolve(t)); err != nil {
			t.Error(err)
		}
	}
	quiet(t, h)
}
