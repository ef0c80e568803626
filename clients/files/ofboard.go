package files

import (
	"slices"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protodesc"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"
	"google.golang.org/protobuf/types/descriptorpb"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Statements about a board name it by its board_id, not by the number of a message or by
// its place in a request. So these are the service's messages with that name: instead of
// board_sequence in a confirmation, in addition to the other fields in settings.
var (
	confirmation = ofBoard((&ripwrightv1.CutConfirmation{}).ProtoReflect().Descriptor(), "board_sequence")
	settings     = ofBoard((&ripwrightv1.Setting{}).ProtoReflect().Descriptor(), "")
	stops        = ofBoard((&ripwrightv1.LineStop{}).ProtoReflect().Descriptor(), "", &descriptorpb.FieldDescriptorProto{
		Name: proto.String(duration), JsonName: proto.String("durationMinutes"), Number: proto.Int32(boardNumber + 1),
		Type: descriptorpb.FieldDescriptorProto_TYPE_DOUBLE.Enum(), Label: descriptorpb.FieldDescriptorProto_LABEL_OPTIONAL.Enum(),
	})
)

// boardNumber is the number of board_id in them, the first of those that no field of the
// service's messages has.
const boardNumber = 536_000_000

// duration is the duration of a stop; a line learns it from the restart.
const duration = "duration_minutes"

// ofBoard makes a message like another, with a board_id in front that replaces the field
// instead and any board_id of the message, which is optional; more fields are appended.
func ofBoard(of protoreflect.MessageDescriptor, instead protoreflect.Name, more ...*descriptorpb.FieldDescriptorProto) protoreflect.MessageDescriptor {
	m := protodesc.ToDescriptorProto(of)
	m.Field = slices.DeleteFunc(m.GetField(), func(f *descriptorpb.FieldDescriptorProto) bool {
		return f.GetName() == string(instead) || f.GetName() == "board_id"
	})
	m.Field = slices.Insert(m.GetField(), 0, &descriptorpb.FieldDescriptorProto{
		Name: proto.String("board_id"), JsonName: proto.String("boardId"), Number: proto.Int32(boardNumber),
		Type: descriptorpb.FieldDescriptorProto_TYPE_STRING.Enum(), Label: descriptorpb.FieldDescriptorProto_LABEL_OPTIONAL.Enum(),
	})
	m.Field = append(m.GetField(), more...)
	needs := []string{of.ParentFile().Path()}
	for i, all := 0, of.ParentFile().Imports(); i < all.Len(); i++ {
		needs = append(needs, all.Get(i).Path())
	}
	file, err := protodesc.NewFile(&descriptorpb.FileDescriptorProto{
		Name: proto.String("ripwright/files/" + string(of.Name()) + ".proto"), Package: proto.String("ripwright.files"), Syntax: proto.String("proto3"),
		Dependency: needs, MessageType: []*descriptorpb.DescriptorProto{m},
	}, protoregistry.GlobalFiles)
	if err != nil {
		panic(err) // the schema changed; every test finds out
	}
	return file.Messages().Get(0)
}

// Origin gives the service's message for a kind of file, and reports whether the file's
// own message differs from it by a board_id.
func (k Kind) Origin() (m protoreflect.MessageDescriptor, differs bool) {
	if k.Message.FullName().Parent() != "ripwright.files" {
		return k.Message, false
	}
	d, err := protoregistry.GlobalFiles.FindDescriptorByName(protoreflect.FullName("ripwright.v1").Append(k.Message.Name()))
	if err != nil {
		panic(err) // ofBoard made it of this
	}
	return d.(protoreflect.MessageDescriptor), true
}

// Comments are those of a generated schema for fields that the service's messages lack.
var Comments = map[protoreflect.Name]string{
	"board_id": "The board, by its board_id. 1 to 128 characters.",
	duration:   "How long the line was stopped before that board was cut, in minutes.",
}

// BoardID is the board_id of the i-th confirmation or setting of a file.
func (f *File) BoardID(i int) string {
	return f.Messages[i].Get(f.Messages[i].Descriptor().Fields().ByNumber(boardNumber)).String()
}

// Minutes is the duration of the i-th stop of a file.
func (f *File) Minutes(i int) float64 {
	return f.Messages[i].Get(f.Messages[i].Descriptor().Fields().ByName(duration)).Float()
}

// About copies the i-th confirmation, setting or stop into the service's message for it,
// which lacks the board_id.
func (f *File) About(i int, m proto.Message) error {
	named := proto.CloneOf(f.Messages[i])
	for k, all := 0, named.Descriptor().Fields(); k < all.Len(); k++ {
		if f := all.Get(k); f.Number() >= boardNumber {
			named.Clear(f)
		}
	}
	raw, err := proto.Marshal(named)
	if err != nil {
		return err
	}
	return proto.Unmarshal(raw, m)
}
