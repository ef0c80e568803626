package tally

import (
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Lumber by pack in a live line's summary has the form that a tally takes, in JSON and in
// protobuf alike.
func TestSummaryFeedsTally(t *testing.T) {
	of := &ripwrightv1.PackTotal{PackId: "P-17", Boards: 12, FaceM2: 7.25, BoardFeet: proto.Float64(78.1)}
	want := &ripwrightv1.PackLumber{PackId: "P-17", Boards: 12, FaceM2: 7.25, BoardFeet: proto.Float64(78.1)}
	text, err := protojson.Marshal(of)
	if err != nil {
		t.Fatal(err)
	}
	got := &ripwrightv1.PackLumber{}
	if err := protojson.Unmarshal(text, got); err != nil || !proto.Equal(got, want) {
		t.Errorf("by JSON: %v, %v", err, got)
	}
	raw, err := proto.Marshal(of)
	if err != nil {
		t.Fatal(err)
	}
	got.Reset()
	if err := proto.Unmarshal(raw, got); err != nil || !proto.Equal(got, want) {
		t.Errorf("by protobuf: %v, %v", err, got)
	}
	takes := want.ProtoReflect().Descriptor().Fields()
	for i := range of.ProtoReflect().Descriptor().Fields().Len() {
		if f := of.ProtoReflect().Descriptor().Fields().Get(i); takes.ByName(f.Name()) == nil || takes.ByName(f.Name()).Number() != f.Number() {
			t.Errorf("a tally does not take %s", f.Name())
		}
	}
}
