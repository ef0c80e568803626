package files

import (
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protodesc"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"
	"google.golang.org/protobuf/types/descriptorpb"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// confirmation is the service's CutConfirmation for people, who know boards by
// their names and not by the numbers of messages: its first field, board_sequence,
// is board_id here.
var confirmation = func() protoreflect.MessageDescriptor {
	of := (&ripwrightv1.CutConfirmation{}).ProtoReflect().Descriptor()
	m := protodesc.ToDescriptorProto(of)
	id := m.GetField()[0]
	id.Name, id.JsonName = proto.String("board_id"), proto.String("boardId")
	id.Type = descriptorpb.FieldDescriptorProto_TYPE_STRING.Enum()
	file, err := protodesc.NewFile(&descriptorpb.FileDescriptorProto{
		Name: proto.String("ripwright/files/confirmation.proto"), Package: proto.String("ripwright.files"), Syntax: proto.String("proto3"),
		Dependency: []string{of.ParentFile().Path()}, MessageType: []*descriptorpb.DescriptorProto{m},
	}, protoregistry.GlobalFiles)
	if err != nil {
		panic(err) // the schema changed under it; every test finds out
	}
	return file.Messages().Get(0)
}()

// Comments are what a generated schema says of fields that the protobuf schema has
// under another name or not at all.
var Comments = map[protoreflect.FullName]string{
	"ripwright.files.CutConfirmation":          "What became of a planned board.",
	"ripwright.files.CutConfirmation.board_id": "The board, by its board_id. 1 to 128 characters.",
}

// BoardID is the board_id of the i-th confirmation of a file.
func (f *File) BoardID(i int) string {
	return f.Messages[i].Get(confirmation.Fields().ByNumber(1)).String()
}

// Confirmation is the i-th confirmation of a file, for the board with this
// sequence.
func (f *File) Confirmation(i int, sequence int32) (*ripwrightv1.CutConfirmation, error) {
	m := proto.CloneOf(f.Messages[i])
	m.Clear(confirmation.Fields().ByNumber(1)) // a name on the wire where a number stands
	raw, err := proto.Marshal(m)
	if err != nil {
		return nil, err
	}
	out := &ripwrightv1.CutConfirmation{}
	if err := proto.Unmarshal(raw, out); err != nil {
		return nil, err
	}
	out.BoardSequence = sequence
	return out, nil
}
