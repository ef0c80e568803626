// Package files reads the files that people write for the service, in YAML or
// JSON: orders, saws, boards, settings, lumber, what became of boards, the
// orders of a day, and what arbors are to be compared for.
//
// A file has the fields of the schema's messages and two things besides, for
// people's sake. A length, an area or a time may leave out the unit in its name
// and carry one in its value instead: width: 1-3/4in for width_mm: 44.45. And a
// choice may be said in one word: value_per: length for VALUE_PER_LENGTH. Nothing
// else is taken: a misspelt field is refused with its line and the nearest name.
//
// The JSON Schema of every kind stands in schema, generated from the protobuf
// schema, so that editors complete and check files as they are written.
package files

import (
	"embed"
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

//go:generate go run ./generate

// Kind is a kind of file.
type Kind struct {
	Name string
	// About says what such a file holds.
	About   string
	Message protoreflect.MessageDescriptor
	// One of them, for messages; empty: "one" and the name.
	noun string
	// Many says that a file is a list of messages. One on its own is taken too
	// where One is set.
	Many, One bool
	// Elsewhere are fields of the message that no file holds, with what gives them
	// instead.
	Elsewhere map[protoreflect.FullName]string
}

// The kinds of files.
var (
	Order = Kind{Name: "order", About: "A cut order.",
		Message: (&ripwrightv1.CutOrder{}).ProtoReflect().Descriptor()}
	Saws = Kind{Name: "saws", About: "The saws that may be asked for by name.", Many: true,
		Message: (&ripwrightv1.Saw{}).ProtoReflect().Descriptor()}
	Boards = Kind{Name: "boards", About: "Boards as the scanner saw them: a list, or one.", Many: true, One: true,
		Message: (&ripwrightv1.Board{}).ProtoReflect().Descriptor()}
	Setting = Kind{Name: "setting", About: "Where fence and blades stand.",
		Message: (&ripwrightv1.Setting{}).ProtoReflect().Descriptor()}
	Lumber = Kind{Name: "lumber", noun: "lumber", About: "The boards that an order can be cut from: listed, counted as on a pack tag, or of random width.",
		Message: (&ripwrightv1.Lumber{}).ProtoReflect().Descriptor()}
	Confirmations = Kind{Name: "confirmations", About: "What became of boards on a line.", Many: true,
		Message: confirmation}
	Settings = Kind{Name: "settings", About: "Where fence and blades stood for boards.", Many: true,
		Message: settings}
	Day = Kind{Name: "day", About: "The orders of a day, as they would be run, with the arbors that each can be run on and when it is due.",
		Message: (&ripwrightv1.SequenceOrdersRequest{}).ProtoReflect().Descriptor()}
	Arbors = Kind{Name: "arbors", noun: "candidates for an arbor", About: "The orders that arbors are to be compared for, and where spacers let fixed blades stand.",
		Message: arbors, Elsewhere: map[protoreflect.FullName]string{
			arbors.FullName() + ".saw": "--saw-file", arbors.FullName() + ".saw_name": "--saw", arbors.FullName() + ".lumber": "--lumber"}}
)

var arbors = (&ripwrightv1.PlanArborRequest{}).ProtoReflect().Descriptor()

// Kinds are all of them.
var Kinds = []Kind{Order, Saws, Boards, Setting, Settings, Lumber, Confirmations, Day, Arbors}

//go:embed schema
var schemas embed.FS

// Schema gives the JSON Schema of a kind.
func (k Kind) Schema() ([]byte, error) { return schemas.ReadFile("schema/" + k.Name + ".schema.json") }

// Quantity is what a field counts, if people may write it with a unit.
type Quantity int

// The quantities.
const (
	Plain  Quantity = iota // a number without a unit, or no number
	Length                 // in mm
	Lineal                 // in m
	Area                   // in m2
	Time                   // in minutes
)

var suffixes = map[Quantity]string{Length: "_mm", Lineal: "_m", Area: "_m2", Time: "_minutes"}

// QuantityOf tells a field's quantity by its name, and what the field is called
// when its value carries the unit. Prices and angles, per m2 and per m, have no
// such second name.
func QuantityOf(f protoreflect.FieldDescriptor) (q Quantity, alias string) {
	name := f.TextName()
	if f.Kind() != protoreflect.DoubleKind || strings.Contains(name, "_per_") {
		return Plain, ""
	}
	for q, suffix := range suffixes {
		if alias, ok := strings.CutSuffix(name, suffix); ok {
			return q, alias
		}
	}
	return Plain, ""
}

// Word is how people may say a value of an enum: VALUE_PER_LENGTH is length.
func Word(v protoreflect.EnumValueDescriptor) string {
	prefix := string(v.Parent().(protoreflect.EnumDescriptor).Values().ByNumber(0).Name())
	prefix = strings.TrimSuffix(prefix, "UNSPECIFIED")
	return strings.ToLower(strings.TrimPrefix(string(v.Name()), prefix))
}
