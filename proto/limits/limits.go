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

// All are all limits in the schema's order, its files in that in which people read
// them. A list of numbers has two: how many, and each one.
var All, byField = all()

// files is that order.
var files = []string{"board", "saw", "setting", "order", "options", "instructions", "plan", "rip_service", "line", "drift", "planning", "planning_service",
	"quote", "arbor", "sequence", "share", "tally", "tally_account", "tally_service", "info_service", "error"}

// Files gives the files of the schema in the order in which people read them. It does
// not have that of the options.
func Files() (all []protoreflect.FileDescriptor) {
	for _, name := range files {
		d, err := protoregistry.GlobalFiles.FindFileByPath("ripwright/v1/" + name + ".proto")
		if err != nil {
			panic(err) // of a name above: tests find it
		}
		all = append(all, d)
	}
	return all
}

// key is a field by names: the files that people write have messages of their own that
// are called like those of the schema.
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

// Of finds what a field's limit of one kind is.
func Of(f protoreflect.FieldDescriptor, c Counted) (Range, bool) {
	g, ok := byField[key{f.ContainingMessage().Name(), f.Name(), c}]
	return g, ok
}

// The is the limit of a field of which it is known that it has one.
func The(message, field string, c Counted) Range {
	g, ok := byField[key{protoreflect.Name(message), protoreflect.Name(field), c}]
	if !ok {
		panic("the schema states no limit of " + string(c) + " for " + message + "." + field) // a fault of the program's, seen at its start
	}
	return g
}
