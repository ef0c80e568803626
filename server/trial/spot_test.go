package trial

import (
	"fmt"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// spot is one place in a request that can be made wrong.
type spot struct {
	path  string
	field protoreflect.FieldDescriptor
	entry int // of a list of scalars; -1: the field itself
	in    func(root protoreflect.Message) protoreflect.Message
}

// spots finds every place in a message. Of a oneof it finds the field that is set.
func spots(m protoreflect.Message) (all []spot) {
	return appendSpots(nil, m, "", func(root protoreflect.Message) protoreflect.Message { return root })
}

func appendSpots(all []spot, m protoreflect.Message, path string, in func(protoreflect.Message) protoreflect.Message) []spot {
	for i := range m.Descriptor().Fields().Len() {
		f := m.Descriptor().Fields().Get(i)
		at := path + string(f.Name())
		if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() && !m.Has(f) {
			continue
		}
		all = append(all, spot{at, f, -1, in})
		switch {
		case f.IsList():
			for j := range m.Get(f).List().Len() {
				part := fmt.Sprintf("%s[%d]", at, j)
				if f.Message() == nil {
					all = append(all, spot{part, f, j, in})
					continue
				}
				all = appendSpots(all, m.Get(f).List().Get(j).Message(), part+".", func(root protoreflect.Message) protoreflect.Message {
					return in(root).Get(f).List().Get(j).Message()
				})
			}
		case f.Message() != nil && m.Has(f):
			all = appendSpots(all, m.Get(f).Message(), at+".", func(root protoreflect.Message) protoreflect.Message {
				return in(root).Mutable(f).Message()
			})
		}
	}
	return all
}

// with gives a copy of a request with another value at the spot.
func (s spot) with(req proto.Message, v protoreflect.Value) proto.Message {
	out := proto.Clone(req)
	m := s.in(out.ProtoReflect())
	if s.entry >= 0 {
		m.Mutable(s.field).List().Set(s.entry, v)
	} else {
		m.Set(s.field, v)
	}
	return out
}

// without gives a copy with nothing at the spot.
func (s spot) without(req proto.Message) proto.Message {
	out := proto.Clone(req)
	s.in(out.ProtoReflect()).Clear(s.field)
	return out
}

// stretched gives a copy with n entries in the list at the spot.
func (s spot) stretched(req proto.Message, n int) proto.Message {
	out := proto.Clone(req)
	l := s.in(out.ProtoReflect()).Mutable(s.field).List()
	for l.Len() < n {
		if l.Len() > 0 {
			l.Append(l.Get(0))
			continue
		}
		l.Append(l.NewElement())
	}
	return out
}
