// Package file reads messages of the schema from files that people write, in YAML or
// JSON. The service and its clients share it.
//
// A file has the fields of the schema's messages, with two additions for its writers. A
// length, an area, a time or a speed may leave the unit out of its name and carry it in
// its value: kerf: 1/8 in for kerf_mm: 3.175; 0 needs no unit. And an enum value may be one word:
// value_per: length for VALUE_PER_LENGTH. Fields may have their JSON names too: kerfMm.
// Nothing else is accepted: a misspelt field is refused with its line and the nearest
// name.
package file

import (
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Kind is a kind of file.
type Kind struct {
	Name string
	// About says what such a file holds.
	About   string
	Message protoreflect.MessageDescriptor
	// Noun is one of them, for messages. Empty: "one" and the name.
	Noun string
	// Many says that a file is a list of messages. If One is set, a single message is
	// accepted too.
	Many, One bool
	// Elsewhere are the fields of the message that no file holds, with what provides them
	// instead.
	Elsewhere map[protoreflect.FullName]string
	// Instead says what to write in place of names that people write but no message has.
	Instead map[string]string
}

// Saws is the kind of file that the service reads.
var Saws = Kind{Name: "saws", About: "The saws that may be asked for by name: a list, or one.", Many: true, One: true,
	Instead: map[string]string{"saws": "the file is the list itself: begin each saw with - name: "},
	Message: (&ripwrightv1.Saw{}).ProtoReflect().Descriptor()}

func (k *Kind) wanted() string {
	fields := "with the fields " + strings.Join(k.names(k.Message), ", ")
	switch {
	case k.One:
		return "must be one of, or a list of, " + k.Name + " " + fields
	case k.Many:
		return "must be a list of " + k.Name + ", each " + fields
	}
	noun := k.Noun
	if noun == "" {
		noun = "one " + k.Name
	}
	return "must be " + noun + " " + fields
}

// names lists the fields of a message, including their second names.
func (k *Kind) names(d protoreflect.MessageDescriptor) (all []string) {
	for i := range d.Fields().Len() {
		f := d.Fields().Get(i)
		if _, elsewhere := k.Elsewhere[f.FullName()]; elsewhere {
			continue
		}
		all = append(all, f.TextName())
		if q, alias := QuantityOf(f); q != Plain {
			all = append(all, alias)
		}
	}
	return all
}

// find gives the field with a name, and whether its value carries a unit.
func find(d protoreflect.MessageDescriptor, name string) (f protoreflect.FieldDescriptor, withUnit bool) {
	if f := d.Fields().ByTextName(name); f != nil {
		return f, false
	}
	if f := d.Fields().ByJSONName(name); f != nil {
		return f, false
	}
	for i := range d.Fields().Len() {
		f := d.Fields().Get(i)
		if q, alias := QuantityOf(f); q != Plain && alias == name {
			return f, true
		}
	}
	return nil, false
}
