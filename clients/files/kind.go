// Package files reads the files that people write for the service, in YAML or JSON:
// orders, saws, boards, settings, lumber, confirmations of boards, the orders of a day,
// and what arbors are to be compared for.
//
// Package file, by which the service reads its saws too, defines their content and form.
//
// The JSON Schema of every kind is in schema, generated from the protobuf schema, so that
// editors complete and check files as they are written.
package files

import (
	"embed"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

//go:generate go run ./generate

// Kind is a kind of file.
type Kind struct{ file.Kind }

// atStations says how a board's width is written.
const atStations = "a board is as wide as its stations say, one for a board with straight edges: stations: [{x_mm: 0, near_mm: 0, far: 9-1/2in}]"

// The kinds of files.
var (
	Order = Kind{file.Kind{Name: "order", About: "A cut order.",
		Message: (&ripwrightv1.CutOrder{}).ProtoReflect().Descriptor()}}
	Saws   = Kind{file.Saws}
	Boards = Kind{file.Kind{Name: "boards", About: "Boards as the scanner saw them: a list, or one.", Many: true, One: true,
		Message: (&ripwrightv1.Board{}).ProtoReflect().Descriptor(),
		Instead: map[string]string{"width": atStations, "width_mm": atStations, "widthMm": atStations}}}
	Setting = Kind{file.Kind{Name: "setting", About: "Where fence and blades stand.",
		Message: (&ripwrightv1.Setting{}).ProtoReflect().Descriptor()}}
	Lumber = Kind{file.Kind{Name: "lumber", Noun: "lumber", About: "The boards that an order can be cut from: listed, counted as on a pack tag, or of random width.",
		Message: (&ripwrightv1.Lumber{}).ProtoReflect().Descriptor()}}
	Confirmations = Kind{file.Kind{Name: "confirmations", About: "What became of boards on a line.", Many: true,
		Message: confirmation}}
	Settings = Kind{file.Kind{Name: "settings", About: "Where fence and blades stood for boards.", Many: true,
		Message: settings}}
	Stops = Kind{file.Kind{Name: "stops", About: "When a line was stopped, by the board that was cut next, and why.", Many: true,
		Message: stops}}
	Day = Kind{file.Kind{Name: "day", About: "The orders of a day, as they would be run, with the arbors that each can be run on and when it is due.",
		Message: (&ripwrightv1.SequenceOrdersRequest{}).ProtoReflect().Descriptor()}}
	Lines = Kind{file.Kind{Name: "lines", Noun: "lines that share an order", About: "An order and the lines that share it: their saws, their paces, and what each has made and reserved.",
		Message: (&ripwrightv1.ShareOrderRequest{}).ProtoReflect().Descriptor()}}
	Arbors = Kind{file.Kind{Name: "arbors", Noun: "candidates for an arbor", About: "The orders that arbors are to be compared for, and where spacers let fixed blades stand.",
		Message: arbors, Elsewhere: map[protoreflect.FullName]string{
			arbors.FullName() + ".saw": "--saw-file", arbors.FullName() + ".saw_name": "--saw", arbors.FullName() + ".lumber": "--lumber"}}}
)

var arbors = (&ripwrightv1.PlanArborRequest{}).ProtoReflect().Descriptor()

// Kinds are all kinds of files.
var Kinds = []Kind{Order, Saws, Boards, Setting, Settings, Lumber, Confirmations, Stops, Day, Lines, Arbors}

//go:embed schema
var schemas embed.FS

// Schema gives the JSON Schema of a kind.
func (k Kind) Schema() ([]byte, error) { return schemas.ReadFile("schema/" + k.Name + ".schema.json") }
