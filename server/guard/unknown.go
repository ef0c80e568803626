package guard

import (
	"fmt"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
)

// mostUnknown bounds the fields that are named.
const mostUnknown = 24

// Unknown lists the fields of a request, at any depth, that this release does not know.
// To ignore a caller's wish silently is worse than to refuse it: a blade that a newer
// client locked would move.
func Unknown(request any) (l fault.List) {
	m, ok := request.(interface {
		proto.Message
		HasUnknownFields() bool
	})
	if !ok || !m.HasUnknownFields() {
		return nil
	}
	unknown(&l, "", m.ProtoReflect())
	return l
}

func unknown(l *fault.List, path string, m protoreflect.Message) {
	seen := map[protowire.Number]bool{}
	for raw := m.GetUnknown(); len(raw) > 0 && len(*l) < mostUnknown; {
		number, _, n := protowire.ConsumeField(raw)
		if n < 0 { // it was read before, so it is well formed
			break
		}
		if !seen[number] {
			l.Because(fault.UnknownField, below(path, fmt.Sprint(number)),
				"is a field of %s that this release does not know", m.Descriptor().Name())
		}
		seen[number], raw = true, raw[n:]
	}
	for i := range m.Descriptor().Fields().Len() {
		f := m.Descriptor().Fields().Get(i)
		switch {
		case f.Message() == nil || !m.Has(f):
		case f.IsList():
			for k := range m.Get(f).List().Len() {
				unknown(l, below(path, fmt.Sprintf("%s[%d]", f.Name(), k)), m.Get(f).List().Get(k).Message())
			}
		default:
			unknown(l, below(path, string(f.Name())), m.Get(f).Message())
		}
	}
}

func below(path, field string) string {
	if path == "" {
		return field
	}
	return path + "." + field
}

// unread is the error of a request that arrived whole but could not be read.
func unread(request any) error {
	says, yes := codec.Malformed(request)
	if !yes {
		return nil
	}
	return refuse.With(codes.InvalidArgument, ripwrightv1.ErrorReason_ERROR_REASON_MALFORMED_REQUEST, "the request cannot be read: "+says)
}

// known is a stream whose requests are checked: whether they could be read, and for
// unknown fields.
type known struct {
	grpc.ServerStream
	fields bool
}

// RecvMsg implements grpc.ServerStream.
func (k known) RecvMsg(m any) error {
	if err := k.ServerStream.RecvMsg(m); err != nil {
		return err
	}
	if r, ok := m.(interface{ Message() any }); ok { // the receiver decodes for itself
		m = r.Message()
	}
	if err := unread(m); err != nil {
		return err
	}
	if !k.fields {
		return nil
	}
	if l := Unknown(m); len(l) > 0 {
		return refuse.Faults(l)
	}
	return nil
}
