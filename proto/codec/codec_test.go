package codec

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"google.golang.org/grpc/encoding"
	standard "google.golang.org/grpc/encoding/proto"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/mem"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protopath"
	"google.golang.org/protobuf/reflect/protorange"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// demo gives requests for every tenth board or so of the demo, and possible answers.
func demo(t testing.TB) (all []proto.Message) {
	t.Helper()
	read := func(name string) []byte {
		raw, err := os.ReadFile("../../testdata/demo/" + name)
		if err != nil {
			t.Fatal(err)
		}
		return raw
	}
	order := &ripwrightv1.CutOrder{}
	if err := protojson.Unmarshal(read("order.json"), order); err != nil {
		t.Fatal(err)
	}
	for i, line := range strings.Split(strings.TrimSpace(string(read("boards.jsonl"))), "\n") {
		if i%10 > 0 {
			continue
		}
		b := &ripwrightv1.Board{}
		if err := protojson.Unmarshal([]byte(line), b); err != nil {
			t.Fatal(err)
		}
		all = append(all, &ripwrightv1.SolveBoardRequest{Board: b, Order: order, SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "s"}},
			&ripwrightv1.RunLineRequest{Sequence: int32(i), Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: b, AnswerWithinMs: proto.Float64(1.5)}}})
	}
	return all
}

// filled gives a message in which every field is set, down to a limited depth.
func filled(m protoreflect.Message, depth int) proto.Message {
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		f := fields.Get(i)
		switch {
		case f.Message() != nil && depth == 0:
		case f.IsList() && f.Message() != nil:
			for range 2 {
				filled(m.Mutable(f).List().AppendMutable().Message(), depth-1)
			}
		case f.Message() != nil:
			filled(m.Mutable(f).Message(), depth-1)
		case f.IsList():
			m.Mutable(f).List().Append(scalar(f, i))
			m.Mutable(f).List().Append(scalar(f, i+7))
		default:
			m.Set(f, scalar(f, i))
		}
	}
	return m.Interface()
}

func scalar(f protoreflect.FieldDescriptor, i int) protoreflect.Value {
	switch f.Kind() {
	case protoreflect.BoolKind:
		return protoreflect.ValueOfBool(true)
	case protoreflect.EnumKind:
		return protoreflect.ValueOfEnum(1)
	case protoreflect.Int32Kind:
		return protoreflect.ValueOfInt32(int32(-1 - i))
	case protoreflect.Int64Kind:
		return protoreflect.ValueOfInt64(int64(1)<<40 + int64(i))
	case protoreflect.Uint32Kind:
		return protoreflect.ValueOfUint32(uint32(300 + i))
	case protoreflect.Uint64Kind:
		return protoreflect.ValueOfUint64(uint64(1)<<40 + uint64(i))
	case protoreflect.DoubleKind:
		return protoreflect.ValueOfFloat64(0.1 + float64(i))
	case protoreflect.StringKind:
		return protoreflect.ValueOfString(fmt.Sprintf("Größe %d", i))
	case protoreflect.BytesKind:
		return protoreflect.ValueOfBytes([]byte{0, 255, byte(i)})
	}
	panic(f.Kind())
}

// messages are all messages of RipService, filled, and those of the demo.
func messages(t testing.TB) []proto.Message {
	all := demo(t)
	methods := ripwrightv1.File_ripwright_v1_rip_service_proto.Services().ByName("RipService").Methods()
	for i := range methods.Len() {
		for _, d := range []protoreflect.MessageDescriptor{methods.Get(i).Input(), methods.Get(i).Output()} {
			all = append(all, filled(fresh(t, d), 5))
		}
	}
	return all
}

func fresh(t testing.TB, d protoreflect.MessageDescriptor) protoreflect.Message {
	t.Helper()
	kind, err := protoregistry.GlobalTypes.FindMessageByName(d.FullName())
	if err != nil {
		t.Fatal(err)
	}
	return kind.New()
}

// gRPC's own codec reads what this codec writes, and the reverse.
func TestAgreesWithTheStandard(t *testing.T) {
	Register()
	Register() // a second call does nothing
	ours := encoding.GetCodecV2(standard.Name)
	if _, ok := ours.(codec); !ok {
		t.Fatalf("%T is registered", ours)
	}
	theirs := ours.(codec).CodecV2
	if _, own := theirs.(codec); own {
		t.Fatal("the codec wraps itself")
	}
	for _, m := range messages(t) {
		if _, ok := m.(message); !ok {
			t.Fatalf("%T has no code of its own", m)
		}
		for _, way := range []struct{ write, read encoding.CodecV2 }{{ours, theirs}, {theirs, ours}, {ours, ours}} {
			raw, err := way.write.Marshal(m)
			if err != nil {
				t.Fatal(err)
			}
			again := m.ProtoReflect().New().Interface()
			if err := way.read.Unmarshal(raw, again); err != nil {
				t.Fatal(err)
			}
			if raw.Free(); !proto.Equal(m, again) {
				t.Errorf("%T: %v\nbecame %v", m, m, again)
			}
		}
	}
	// A message without generated code is handled as before; other values are refused.
	raw, err := ours.Marshal(&grpc_health_v1.HealthCheckRequest{Service: "x"})
	if err != nil {
		t.Fatal(err)
	}
	got := &grpc_health_v1.HealthCheckRequest{}
	if err := ours.Unmarshal(raw, got); err != nil || got.GetService() != "x" {
		t.Errorf("%v %v", got, err)
	}
	if _, err := ours.Marshal("x"); err == nil {
		t.Error("a string is accepted as a message")
	}
}

// forget drops the fields that the schema does not know.
func forget(m proto.Message) {
	_ = protorange.Range(m.ProtoReflect(), func(p protopath.Values) error {
		if in, ok := p.Index(-1).Value.Interface().(protoreflect.Message); ok && len(in.GetUnknown()) > 0 {
			in.SetUnknown(nil)
		}
		return nil
	})
}

// From arbitrary bytes, and from valid ones truncated or changed, this codec and gRPC's
// read the same if both accept them. This one accepts more: ten-byte numbers with some
// bits too many, and malformed content of fields unknown to both. Even then the result
// could have been sent, except for strings that are not UTF-8.
func FuzzUnmarshal(f *testing.F) {
	for _, m := range messages(f) {
		raw, err := proto.Marshal(m)
		if err != nil {
			f.Fatal(err)
		}
		if len(raw) < 4000 {
			f.Add(raw)
			f.Add(raw[:len(raw)/2])
		}
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		for _, m := range []proto.Message{&ripwrightv1.SolveBoardRequest{}, &ripwrightv1.RunLineRequest{}, &ripwrightv1.SolveBoardResponse{}} {
			if (codec{}).Unmarshal(mem.BufferSlice{mem.SliceBuffer(raw)}, m) != nil {
				continue
			}
			forget(m)
			want := m.ProtoReflect().New().Interface()
			err := proto.UnmarshalOptions{DiscardUnknown: true}.Unmarshal(raw, want)
			if err != nil {
				sound, made := (codec{}).Marshal(m)
				if made != nil {
					t.Fatal(made)
				}
				proto.Reset(want)
				err = proto.Unmarshal(sound.Materialize(), want)
			}
			if err != nil && strings.Contains(err.Error(), "UTF-8") {
				continue
			}
			if err != nil {
				t.Fatalf("%T: accepted, although %v", m, err)
			}
			if !proto.Equal(m, want) {
				t.Errorf("read as %v\nwant    %v", m, want)
			}
		}
	})
}
