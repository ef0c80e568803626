package page

import (
	"encoding/json"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// takes is what the page knows of a field of a request: the message that it holds, if
// any, and its limits, so that it sends nothing that has to be refused.
type takes struct {
	Holds      string `json:"holds,omitempty"`
	List       bool   `json:"list,omitempty"`
	Number     *bound `json:"number,omitempty"`
	Characters *bound `json:"characters,omitempty"`
	Entries    *bound `json:"entries,omitempty"`
}

type bound struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
	Above bool    `json:"above,omitempty"` // the least itself is not taken
	Whole bool    `json:"whole,omitempty"`
	Says  string  `json:"says"`
}

// limitsJSON gives the limits of the requests that the page makes of one board, by
// message and field.
func limitsJSON() ([]byte, error) {
	all := map[string]map[string]takes{}
	add := func(protoreflect.MessageDescriptor) {}
	add = func(m protoreflect.MessageDescriptor) {
		if all[string(m.Name())] != nil {
			return
		}
		fields := map[string]takes{}
		all[string(m.Name())] = fields
		for i := range m.Fields().Len() {
			f := m.Fields().Get(i)
			t := takes{List: f.IsList(), Number: boundOf(f, limits.Numbers), Characters: boundOf(f, limits.Characters), Entries: boundOf(f, limits.Entries)}
			if f.Message() != nil {
				t.Holds = string(f.Message().Name())
				add(f.Message())
			}
			fields[string(f.Name())] = t
		}
	}
	add((&ripwrightv1.SolveBoardRequest{}).ProtoReflect().Descriptor())
	add((&ripwrightv1.CheckPlanRequest{}).ProtoReflect().Descriptor())
	return json.Marshal(all)
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
