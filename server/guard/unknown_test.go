package guard

import (
	"fmt"
	"testing"

	"google.golang.org/protobuf/encoding/protowire"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
)

// A field number that no message of the schema has.
const number = 20000

var newer = protowire.AppendVarint(protowire.AppendTag(nil, number, protowire.VarintType), 1)

// places gives, by field path, a request for every message within it, in which that
// message has a field that this release does not know.
func places(of protoreflect.MessageType) map[string]proto.Message {
	all := map[string]proto.Message{}
	var walk func(d protoreflect.MessageDescriptor, path string, depth int, reach func(root protoreflect.Message) protoreflect.Message)
	walk = func(d protoreflect.MessageDescriptor, path string, depth int, reach func(protoreflect.Message) protoreflect.Message) {
		root := of.New()
		reach(root).SetUnknown(newer)
		all[below(path, fmt.Sprint(number))] = root.Interface()
		for i := range d.Fields().Len() {
			f := d.Fields().Get(i)
			if f.Message() == nil || depth == 12 {
				continue
			}
			at, inner := string(f.Name()), func(root protoreflect.Message) protoreflect.Message { return reach(root).Mutable(f).Message() }
			if f.IsList() {
				// The second entry: the first is left as it should be.
				at, inner = at+"[1]", func(root protoreflect.Message) protoreflect.Message {
					l := reach(root).Mutable(f).List()
					l.AppendMutable()
					return l.AppendMutable().Message()
				}
			}
			walk(f.Message(), below(path, at), depth+1, inner)
		}
	}
	walk(of.Descriptor(), "", 0, func(root protoreflect.Message) protoreflect.Message { return root })
	return all
}

// An unknown field is found in every message that a request can hold, at any depth,
// however the request is read.
func TestUnknownIsFoundEverywhere(t *testing.T) {
	tried := 0
	protoregistry.GlobalFiles.RangeFilesByPackage("ripwright.v1", func(f protoreflect.FileDescriptor) bool {
		for i := range f.Services().Len() {
			for k := range f.Services().Get(i).Methods().Len() {
				of, err := protoregistry.GlobalTypes.FindMessageByName(f.Services().Get(i).Methods().Get(k).Input().FullName())
				if err != nil {
					t.Fatal(err)
				}
				for path, m := range places(of) {
					tried++
					raw, err := proto.Marshal(m)
					if err != nil {
						t.Fatal(err)
					}
					read := map[string]func(proto.Message) error{"by description": func(m proto.Message) error { return proto.Unmarshal(raw, m) }}
					if _, ok := m.(interface{ UnmarshalVT([]byte) error }); ok {
						read["by code of its own"] = func(m proto.Message) error { return m.(interface{ UnmarshalVT([]byte) error }).UnmarshalVT(raw) }
					}
					for how, read := range read {
						got := of.New().Interface()
						if err := read(got); err != nil {
							t.Fatal(err)
						}
						l := Unknown(got)
						if len(l) != 1 || l[0].Path != path || l[0].Reason != fault.UnknownField {
							t.Errorf("%s, read %s: %v, want %s", of.Descriptor().Name(), how, l, path)
						}
					}
				}
			}
		}
		return true
	})
	if tried < 200 {
		t.Errorf("%d places were tried", tried)
	}
}

// Known fields, and messages that are no requests, pass.
func TestKnownPasses(t *testing.T) {
	for _, m := range []any{nil, &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{},
		&ripwrightv1.SolveBoardRequest{Board: &ripwrightv1.Board{Stations: []*ripwrightv1.Station{{}, {XMm: 1}}}}} {
		if l := Unknown(m); l != nil {
			t.Errorf("%v: %v", m, l)
		}
	}
	// Of a request with very many unknown fields the first ones are named.
	m := &ripwrightv1.SolveBoardRequest{Order: &ripwrightv1.CutOrder{}}
	for range 500 {
		it := &ripwrightv1.Item{}
		it.ProtoReflect().SetUnknown(newer)
		m.Order.Items = append(m.Order.Items, it)
	}
	if l := Unknown(m); len(l) == 0 || len(l) > mostUnknown || l[0].Path != "order.items[0].20000" {
		t.Errorf("%d: %v", len(l), l)
	}
}

func BenchmarkUnknown(b *testing.B) {
	m := &ripwrightv1.SolveBoardRequest{Board: &ripwrightv1.Board{}, Order: &ripwrightv1.CutOrder{}}
	for range 16 {
		m.Board.Stations = append(m.Board.Stations, &ripwrightv1.Station{})
		m.Order.Items = append(m.Order.Items, &ripwrightv1.Item{Required: &ripwrightv1.Amount{}})
	}
	for b.Loop() {
		if Unknown(m) != nil {
			b.Fatal("found")
		}
	}
}

func TestID(t *testing.T) {
	for in, want := range map[string]string{"": "", "abc-1": "abc-1", "a\nb": "", "ä": "", string(make([]byte, 3)): ""} {
		if got := ID(in); got != want {
			t.Errorf("%q becomes %q", in, got)
		}
	}
}
