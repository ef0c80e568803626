package guard

import (
	"fmt"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
)

// mostUnknown bounds the fields that are named.
const mostUnknown = 24

// Unknown lists the fields of a request, at any depth, that this release does not
// know. A caller's wish that is passed over in silence is worse than a refusal: a
// blade that a newer client locked would move.
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
		if n < 0 { // it was read, so it is whole
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

// known is a stream whose request is looked at for unknown fields.
type known struct{ grpc.ServerStream }

// RecvMsg implements grpc.ServerStream.
func (k known) RecvMsg(m any) error {
	if err := k.ServerStream.RecvMsg(m); err != nil {
		return err
	}
	if l := Unknown(m); len(l) > 0 {
		return refuse.Faults(l)
	}
	return nil
}
