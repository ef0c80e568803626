package trial

import (
	"testing"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/encoding"
	"google.golang.org/grpc/mem"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// asBytes sends bytes in place of a message, and passes answers through.
type asBytes struct{ encoding.CodecV2 }

func (asBytes) Marshal(v any) (mem.BufferSlice, error) {
	b, _ := v.(*[]byte)
	return mem.BufferSlice{mem.SliceBuffer(*b)}, nil
}

func (asBytes) Unmarshal(data mem.BufferSlice, v any) error {
	b, _ := v.(*[]byte)
	*b = data.Materialize()
	return nil
}

// Bytes that are no message of the call get INVALID_ARGUMENT with a reason from every
// call.
func TestMalformedMessages(t *testing.T) {
	h := open(t)
	for _, f := range []protoreflect.FileDescriptor{ripwrightv1.File_ripwright_v1_rip_service_proto, ripwrightv1.File_ripwright_v1_planning_service_proto,
		ripwrightv1.File_ripwright_v1_tally_service_proto, ripwrightv1.File_ripwright_v1_info_service_proto} {
		s := f.Services().Get(0)
		for i := range s.Methods().Len() {
			m := s.Methods().Get(i)
			for what, raw := range map[string]string{"a field that breaks off": "\x0a\x7fab", "a group that has no end": "\x0b", "no tag": "\xff\xff", "a field of number 0": "\x00\x00"} {
				sent, got := []byte(raw), []byte(nil)
				stream, err := h.conn.NewStream(t.Context(), &grpc.StreamDesc{ClientStreams: m.IsStreamingClient(), ServerStreams: m.IsStreamingServer()},
					"/"+string(s.FullName())+"/"+string(m.Name()), grpc.ForceCodecV2(asBytes{encoding.GetCodecV2("proto")}))
				if err != nil {
					t.Fatal(err)
				}
				if err := stream.SendMsg(&sent); err != nil {
					t.Fatal(err)
				}
				_ = stream.CloseSend()
				err = stream.RecvMsg(&got)
				if status.Code(err) != codes.InvalidArgument || reason(status.Convert(err)) != "MALFORMED_REQUEST" {
					t.Errorf("%s, %s: %v, reason %q", m.FullName(), what, err, reason(status.Convert(err)))
				}
			}
		}
	}
	quiet(t, h)
}
