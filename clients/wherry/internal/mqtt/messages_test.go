package mqtt

import (
	"encoding/json"
	"maps"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const schemaFile = "../../messages.schema.json"

// schema is JSON Schema, draft 2020-12, with formats asserted.
func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	s, err := c.Compile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func fits(t *testing.T, s *jsonschema.Schema, text []byte) map[string]any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	if err := s.Validate(v); err != nil {
		t.Errorf("%s: %v", text, err)
	}
	return v.(map[string]any)
}

func metres(v float64) *ripwrightv1.Amount {
	return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: v}}
}

// planned is an answer with every field.
func planned() *ripwrightv1.RunLineResponse {
	return &ripwrightv1.RunLineResponse{Sequence: 7, OrderId: "o", Answer: &ripwrightv1.RunLineResponse_Plan{Plan: &ripwrightv1.LinePlan{BoardId: "b",
		DoNotFeed: &ripwrightv1.DoNotFeed{Says: "the board is worth less than its cutting"},
		Plan: &ripwrightv1.Plan{Worth: 3, Account: &ripwrightv1.Account{YieldRatio: proto.Float64(.8)}, Setting: &ripwrightv1.Setting{FenceMm: proto.Float64(100), BladesMm: []float64{150, 220}, SkewMmPerM: proto.Float64(-1), Turn: ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END.Enum()},
			Pockets: []*ripwrightv1.Pocket{{ItemId: "stile", Stack: "1", WidthMm: 66, CountedLengthM: 2.5, NearBlade: proto.Int32(0), FarBlade: proto.Int32(1)}, {WidthMm: 20}}}}},
		Fills: []*ripwrightv1.Fill{{ItemId: "a/b+%", Required: metres(10), Made: metres(2), Reserved: metres(1), Open: metres(7)},
			{ItemId: "lip", Made: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 3}}, Reserved: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{}}}}}
}

// Every message conforms to the schema, and the schema has nothing that no message
// contains.
func TestSchema(t *testing.T) {
	s := schema(t)
	c := &Config{RunID: "east", Topic: "saws/east"}
	at := time.Date(2030, 2, 3, 4, 5, 6, 7e6, time.UTC)
	l := c.messages(event{of: handover.Board{Boot: 4, Number: 4294967295}, a: planned(), at: at})
	l = append(l, c.messages(event{at: at, a: &ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_SummedUp{SummedUp: &ripwrightv1.LineSummedUp{
		Summary: &ripwrightv1.RunSummary{Planned: 3, Unconfirmed: 1, Account: &ripwrightv1.Account{FaceM2: 1, StripM2: .7, YieldRatio: proto.Float64(.7)}}}}}})...)
	state, err := json.Marshal(stateMessage{Kind: "state", Run: "east"})
	if err != nil {
		t.Fatal(err)
	}
	l = append(l, message{Topic: "saws/east/state", Payload: state})
	got, said := []string{}, map[string]map[string]bool{}
	for _, m := range l {
		got = append(got, m.Topic)
		v := fits(t, s, m.Payload)
		kind := v["kind"].(string)
		if said[kind] == nil {
			said[kind] = map[string]bool{}
		}
		for name := range v {
			said[kind][name] = true
		}
		if strips, ok := v["strips"].([]any); ok {
			said["strip"] = map[string]bool{}
			for name := range strips[0].(map[string]any) {
				said["strip"][name] = true
			}
		}
	}
	want := []string{"saws/east/plan", "saws/east/fill/a%2Fb%2B%25", "saws/east/fill/lip", "saws/east/yield", "saws/east/state"}
	if !slices.Equal(got, want) {
		t.Errorf("topics %q, want %q", got, want)
	}
	text, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	type object struct {
		Properties map[string]struct {
			Items *struct{ Properties map[string]any }
		}
	}
	var file struct {
		Defs map[string]object `json:"$defs"`
	}
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	for kind, names := range said {
		has := slices.Sorted(maps.Keys(names))
		var want []string
		if kind == "strip" {
			want = slices.Sorted(maps.Keys(file.Defs["plan"].Properties["strips"].Items.Properties))
		} else {
			want = slices.Sorted(maps.Keys(file.Defs[kind].Properties))
		}
		if !reflect.DeepEqual(has, want) {
			t.Errorf("%s: fields %q, the schema has %q", kind, has, want)
		}
	}
}

// An answer without optional fields conforms as well, and one that is of no use to
// displays makes no message.
func TestBare(t *testing.T) {
	s := schema(t)
	c := &Config{RunID: "east", Topic: "t"}
	l := c.messages(event{at: time.Unix(0, 0), a: &ripwrightv1.RunLineResponse{Sequence: 1, Answer: &ripwrightv1.RunLineResponse_Plan{Plan: &ripwrightv1.LinePlan{Plan: &ripwrightv1.Plan{}}}}})
	if len(l) != 1 {
		t.Fatalf("%d messages", len(l))
	}
	fits(t, s, l[0].Payload)
	for _, a := range []*ripwrightv1.RunLineResponse{{}, {Answer: &ripwrightv1.RunLineResponse_Settled{}}, {Answer: &ripwrightv1.RunLineResponse_Refused{Refused: &ripwrightv1.LineRefusal{}}}} {
		if l := c.messages(event{a: a}); len(l) != 0 {
			t.Errorf("%v: %d messages", a, len(l))
		}
	}
}

// Any name becomes one level of a topic, and two names never become the same level.
func TestLevel(t *testing.T) {
	seen := map[string]string{}
	for _, name := range []string{"stile", "a/b", "a+b", "a#b", "a%2Fb", "a%b", "$SYS", "%", "", "Leiste 5 mm", "Längs", "\x00", "\n"} {
		l := level(name)
		if l == "" || strings.ContainsAny(l, "/+#$\x00\n") {
			t.Errorf("%q: %q", name, l)
		}
		if was, ok := seen[l]; ok {
			t.Errorf("%q and %q are both %q", was, name, l)
		}
		seen[l] = name
	}
}
