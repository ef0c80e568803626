package page

import (
	"encoding/json"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/tally/shrink"
)

// takes is what the page knows about a field of a request: what it holds and within which
// limits, so that the page sends nothing that must be refused.
type takes struct {
	JSON       string   `json:"json"`            // its JSON name, which people may write too
	Kind       string   `json:"kind"`            // number, text, yes, word or message
	Holds      string   `json:"holds,omitempty"` // the message
	Words      []string `json:"words,omitempty"` // of an enum, the first of which means unspecified
	List       bool     `json:"list,omitempty"`
	Optional   bool     `json:"optional,omitempty"` // left out it does not count as 0 or as no text
	OneOf      string   `json:"oneof,omitempty"`    // of the fields with the same one, one is given
	Number     *bound   `json:"number,omitempty"`
	Characters *bound   `json:"characters,omitempty"`
	Entries    *bound   `json:"entries,omitempty"`
}

type bound struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
	Above bool    `json:"above,omitempty"` // the least itself is excluded
	Whole bool    `json:"whole,omitempty"`
	Says  string  `json:"says"`
}

// asked are the requests that the page makes.
var asked = []proto.Message{
	&ripwrightv1.SolveBoardRequest{}, &ripwrightv1.CheckPlanRequest{}, &ripwrightv1.DrawPlanRequest{},
	&ripwrightv1.PlanValuesRequest{}, &ripwrightv1.WatchQuoteRequest{}, &ripwrightv1.TallyPackRequest{},
}

// limitsJSON gives the fields of those requests by message and name, and the species that
// tallies know.
func limitsJSON() ([]byte, error) {
	all := byMessage[takes]{}
	for _, m := range asked {
		all.add(m.ProtoReflect().Descriptor(), takesOf)
	}
	return json.Marshal(map[string]any{"messages": all, "species": shrink.Known()})
}

func takesOf(f protoreflect.FieldDescriptor) takes {
	t := takes{JSON: f.JSONName(), Kind: kindOfField(f), List: f.IsList(), Optional: f.HasPresence(),
		Number: boundOf(f, limits.Numbers), Characters: boundOf(f, limits.Characters), Entries: boundOf(f, limits.Entries)}
	if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() {
		t.OneOf = string(o.Name())
	}
	if f.Message() != nil {
		t.Holds = string(f.Message().Name())
	}
	if e := f.Enum(); e != nil {
		for k := range e.Values().Len() {
			t.Words = append(t.Words, string(e.Values().Get(k).Name()))
		}
	}
	return t
}

func kindOfField(f protoreflect.FieldDescriptor) string {
	switch f.Kind() {
	case protoreflect.MessageKind, protoreflect.GroupKind:
		return "message"
	case protoreflect.EnumKind:
		return "word"
	case protoreflect.BoolKind:
		return "yes"
	case protoreflect.StringKind, protoreflect.BytesKind:
		return "text"
	default:
		return "number"
	}
}

func boundOf(f protoreflect.FieldDescriptor, c limits.Counted) *bound {
	g, ok := limits.Of(f, c)
	if !ok {
		return nil
	}
	says := g.String()
	if c == limits.Numbers {
		says = g.Wanted()
	}
	return &bound{Least: g.Least, Most: g.Most, Above: g.Above, Whole: g.Whole, Says: says}
}
