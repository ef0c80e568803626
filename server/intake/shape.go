// Package intake measures what a request would become in memory before anything is made
// of it. A body of a few megabytes can stand for millions of messages: what is `{},` in
// JSON, or two bytes in protobuf, takes a hundred bytes once it is read. So a body is
// first walked along the schema, without building anything: its lists are counted against
// their published limits, its depth and size are checked against bounds of the service,
// and the size is counted as its caller's.
package intake

import (
	"reflect"
	"sync"

	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	"github.com/ripwright/ripwright/proto/limits"
)

// shape is what the walks need to know about a message.
type shape struct {
	size     int64 // of the Go struct, allocated
	byName   map[string]*member
	byNumber []*member // nil: the schema has none
	lists    int       // how many of its fields are lists
}

// member is one field of a message.
type member struct {
	name    string
	is      *shape // of the message that it holds; nil: a scalar
	list    bool
	nth     int          // of the lists of its message
	takes   limits.Range // entries, where that is bounded
	bounded bool
	each    int64          // what one entry of a list takes in it
	chars   bool           // a string or bytes
	fixed   int            // bytes that a number of a packed list has; 0: it varies
	wire    protowire.Type // of one entry
}

// reads gives the field that a reader fills from a tag; nil: it keeps the bytes as
// unknown, because of the number or of a wire type that is not the field's.
func (s *shape) reads(n protowire.Number, t protowire.Type) *member {
	if int(n) >= len(s.byNumber) {
		return nil
	}
	m := s.byNumber[n]
	if m == nil || t == m.wire || t == protowire.BytesType && m.list && m.is == nil { // packed
		return m
	}
	return nil
}

// wireOf is the wire type of one value of a kind.
func wireOf(k protoreflect.Kind) protowire.Type {
	switch k {
	case protoreflect.DoubleKind, protoreflect.Fixed64Kind, protoreflect.Sfixed64Kind:
		return protowire.Fixed64Type
	case protoreflect.FloatKind, protoreflect.Fixed32Kind, protoreflect.Sfixed32Kind:
		return protowire.Fixed32Type
	case protoreflect.StringKind, protoreflect.BytesKind, protoreflect.MessageKind:
		return protowire.BytesType
	case protoreflect.GroupKind:
		return protowire.StartGroupType
	}
	return protowire.VarintType
}

// slack is how many times longer than needed a list that grows by appending may be.
const slack = 2

var shapes = struct {
	sync.Mutex
	of map[protoreflect.FullName]*shape
}{of: map[protoreflect.FullName]*shape{}}

// shapeOf gives the shape of a message, made once.
func shapeOf(d protoreflect.MessageDescriptor) *shape {
	shapes.Lock()
	defer shapes.Unlock()
	return build(d)
}

func build(d protoreflect.MessageDescriptor) *shape {
	if s := shapes.of[d.FullName()]; s != nil {
		return s
	}
	s := &shape{size: sizeOf(d), byName: map[string]*member{}}
	shapes.of[d.FullName()] = s // before its fields: a message may hold messages of its own type
	for i := range d.Fields().Len() {
		f := d.Fields().Get(i)
		m := &member{name: f.TextName(), list: f.IsList(), each: scalarSize(f), chars: f.Kind() == protoreflect.StringKind || f.Kind() == protoreflect.BytesKind, wire: wireOf(f.Kind())}
		switch m.wire {
		case protowire.Fixed64Type:
			m.fixed = 8
		case protowire.Fixed32Type:
			m.fixed = 4
		}
		if f.Message() != nil {
			m.is, m.each = build(f.Message()), 8
		}
		if m.list {
			m.each *= slack
			m.nth = s.lists
			s.lists++
			m.takes, m.bounded = limits.Of(f, limits.Entries) // without bounds: a list of answers
		} else if f.HasPresence() && f.Message() == nil {
			m.each = 8 // a separate number, behind a pointer
		} else {
			m.each = 0
		}
		if f.ContainingOneof() != nil {
			m.each += 16
		}
		s.byName[f.TextName()], s.byName[f.JSONName()] = m, m
		for len(s.byNumber) <= int(f.Number()) { // field numbers are small
			s.byNumber = append(s.byNumber, nil)
		}
		s.byNumber[f.Number()] = m
	}
	return s
}

// over reports whether n entries are too many.
func (m *member) over(n int) bool { return m.bounded && float64(n) > m.takes.Most }

// sizeOf is the size of an empty message, as the allocator rounds it.
func sizeOf(d protoreflect.MessageDescriptor) int64 {
	n := int64(64)
	if t, err := protoregistry.GlobalTypes.FindMessageByName(d.FullName()); err == nil {
		n = int64(reflect.TypeOf(t.Zero().Interface()).Elem().Size())
	}
	return (n + 15) / 16 * 16
}

func scalarSize(f protoreflect.FieldDescriptor) int64 {
	switch f.Kind() {
	case protoreflect.StringKind:
		return 16
	case protoreflect.BytesKind:
		return 24
	case protoreflect.BoolKind:
		return 1
	case protoreflect.Int32Kind, protoreflect.EnumKind, protoreflect.FloatKind, protoreflect.Uint32Kind, protoreflect.Sint32Kind, protoreflect.Fixed32Kind, protoreflect.Sfixed32Kind:
		return 4
	}
	return 8
}
