package trial

import (
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// broken is not UTF-8, which no message may hold: what quotes it could not be sent. Over
// JSON the whole body is refused; gRPC's reader of these messages leaves it to code that
// knows the field's name.
var broken = protoreflect.ValueOfString(secret + "\xff")

// texts are the spots of a message that hold strings.
func texts(m proto.Message) []spot {
	return slices.DeleteFunc(spots(m.ProtoReflect()), func(s spot) bool {
		return s.field.Kind() != protoreflect.StringKind || s.field.IsList() && s.entry < 0
	})
}

// Every string that is not UTF-8 is refused by its path.
func TestBrokenTexts(t *testing.T) {
	h := open(t)
	named := goodSolve(t)
	named.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: "zq7-s"}
	tried := 0
	for _, req := range append(searches(t), goodInstructed(t), goodConfirm(t), named) {
		for _, s := range texts(req) {
			if req == proto.Message(named) && s.path != "saw_name" {
				continue
			}
			tried++
			v := h.grpc(t, s.with(req, broken))
			if v.status.Code() != codes.InvalidArgument || !slices.Equal(v.fields(), []string{s.path}) || !strings.Contains(v.says(), "UTF-8") {
				t.Errorf("%s: %s", s.path, v)
			}
		}
	}
	for _, m := range lineMessages(t) {
		for _, s := range texts(m) {
			tried++
			h.lineRefuses(t, s.path, s.with(m, broken), s.path, "UTF-8")
		}
	}
	if tried < 100 {
		t.Errorf("only %d texts", tried)
	}
	quiet(t, h)
}
