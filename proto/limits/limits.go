package limits

import (
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Counted is what a limit counts.
type Counted string

// What limits count.
const (
	Numbers    Counted = "number"
	Characters Counted = "characters"
	Entries    Counted = "entries"
)

// Limit is the published limit of one field of the requests.
type Limit struct {
	Message, Field string // as the schema calls them
	Counts         Counted
	Range          Range
}

// All are all limits in the schema's order, its files in reading order. A list of numbers
// has two: for the count and for each entry.
var All, byField = all()

// files is that order.
var files = []string{"board", "saw", "setting", "order", "options", "instructions", "plan", "rip_service", "line", "drift", "planning", "planning_service",
	"quote", "arbor", "sequence", "share", "tally", "tally_account", "tally_service", "info_service", "error"}

// Files gives the files of the schema in reading order, without that of the options.
func Files() (all []protoreflect.FileDescriptor) {
	for _, name := range files {
		d, err := protoregistry.GlobalFiles.FindFileByPath("ripwright/v1/" + name + ".proto")
		if err != nil {
			panic(err) // a name above is wrong: tests find it
		}
		all = append(all, d)
	}
	return all
}

// key is a field by its names: messages of the files that people write share names with
// those of the schema.
type key struct {
	message, field protoreflect.Name
	counts         Counted
}

func all() (all []Limit, byField map[key]Range) {
	byField = map[key]Range{}
	for _, file := range Files() {
		for i := range file.Messages().Len() {
			m := file.Messages().Get(i)
			for j := range m.Fields().Len() {
				f := m.Fields().Get(j)
				t, _ := proto.GetExtension(f.Options(), ripwrightv1.E_Takes).(*ripwrightv1.Takes)
				for _, part := range []struct {
					counts Counted
					of     *ripwrightv1.TakesRange
				}{{Entries, t.GetEntries()}, {Characters, t.GetCharacters()}, {Numbers, t.GetNumber()}} {
					if part.of == nil {
						continue
					}
					g := Range{Least: part.of.GetMin(), Most: part.of.GetMax(), Above: part.of.GetAboveMin(), Whole: part.of.GetWhole()}
					byField[key{m.Name(), f.Name(), part.counts}] = g
					all = append(all, Limit{string(m.Name()), string(f.Name()), part.counts, g})
				}
			}
		}
	}
	return all, byField
}

// Of gives a field's limit of one kind, if it has one.
func Of(f protoreflect.FieldDescriptor, c Counted) (Range, bool) {
	g, ok := byField[key{f.ContainingMessage().Name(), f.Name(), c}]
	return g, ok
}

// The gives the limit of a field that is known to have one.
func The(message, field string, c Counted) Range {
	g, ok := byField[key{protoreflect.Name(message), protoreflect.Name(field), c}]
	if !ok {
		panic("the schema states no limit of " + string(c) + " for " + message + "." + field) // a fault of the program, seen at its start
	}
	return g
}
