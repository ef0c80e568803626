package command

import (
	"encoding/csv"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// small is an order and lumber that are planned quickly: straight boards of one kind, and
// an item that none of them can give.
const (
	smallOrder = `order_id: S
items:
- {item_id: stile, width: 69.85mm, value: 21, required: {length: 60m}}
- {item_id: rail, width: 58mm, value: 20, required: {length: 40m}}
`
	smallLumber = `lots:
- lot_id: pack
  price_per_mbf: 3000
  tagged: {thickness: 28.6mm, rows: [{width: 8in, length: 10ft, count: 10}]}
`
	shelf = "- {item_id: shelf, width: 600mm, required: {length: 5m}}\n"
)

// on adds the saw, an order and lumber to a command.
func on(c string, more ...string) []string {
	return append([]string{c, "--saw-file", "MILL/saws.yaml", "--order", "MILL/small.yaml", "--lumber", "MILL/stock.yaml"}, more...)
}

func small(t *testing.T) *bench {
	t.Helper()
	b := open(t)
	b.write(t, "small.yaml", smallOrder)
	b.write(t, "stock.yaml", smallLumber)
	b.write(t, "wide.yaml", smallOrder+shelf)
	return b
}

// column gives the cells of a table's column.
func column(t *testing.T, text, name string) (cells []string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%d rows, %v:\n%s", len(rows), err, text)
	}
	for i, head := range rows[0] {
		if head == name {
			for _, row := range rows[1:] {
				cells = append(cells, row[i])
			}
			return cells
		}
	}
	t.Fatalf("there is no column %s:\n%s", name, text)
	return nil
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Items of a further order are shown in their own units. Where the lots run out, that is
// why there are no figures, and none are made up.
func TestQuoteOfSeveralOrders(t *testing.T) {
	b := small(t)
	b.write(t, "more.yaml", strings.NewReplacer("order_id: S", "order_id: T", "40m", "17m").Replace(smallOrder))
	text, _ := b.run(t, 0, on("quote", "--simulations", "1", "--more-order", "MILL/more.yaml")...)
	if line := regexp.MustCompile(`(?m)^T/rail .*$`).FindString(text); !strings.Contains(line, " m ") || strings.Contains(line, "pieces") {
		t.Errorf("%q in\n%s", line, text)
	}
	for _, want := range []string{"1 simulation; too few for an interval", "A plan that says for each board how it is ripped takes "} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	text, says := b.run(t, statusUnfilled, on("quote", "--simulations", "2", "--buy", "--stock", "pack=3")...)
	if strings.Contains(text, "With fractions") || !strings.Contains(says, "2 of 2 simulations had not filled the order after all boards in --stock") {
		t.Errorf("%s\n%s", text, says)
	}
}

// A quote has the same figures in every form, and they are consistent: 8 in boards of 10
// ft and 28.6 mm have 7.5066 board feet, each of which costs 3.
func TestQuote(t *testing.T) {
	b := small(t)
	out, _ := b.run(t, 0, on("quote", "--simulations", "5", "--json")...)
	a := &ripwrightv1.QuoteOrderResponse{}
	if err := protojson.Unmarshal([]byte(out), a); err != nil {
		t.Fatal(err)
	}
	q := a.GetQuote()
	const feet = 8.0 * 10 / 12 * 28.6 / 25.4
	if n := q.GetBoards().GetMean(); n < 10 || abs(q.GetBoardFeet().GetMean()-n*feet) > 1e-6*n*feet ||
		abs(q.GetCost().GetMean()-3*n*feet) > 1e-5*n*feet || q.GetSimulations() != 5 || q.GetSawHours().GetMean() == 0 {
		t.Errorf("%v", q)
	}
	text, _ := b.run(t, 0, on("quote", "--simulations", "5")...)
	for _, want := range []string{"Order S by planned values: 5 simulations; one more falls into an interval 90 times in 100, if they are normally distributed: there are few of them",
		strconv.FormatFloat(q.GetBoards().GetMean(), 'f', 1, 64), strconv.FormatFloat(q.GetCost().GetMean(), 'f', 2, 64),
		"saw time", "no way to rip such boards takes less than lumber for", "rail"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	text, _ = b.run(t, 0, on("quote", "--simulations", "5", "--buy", "--stock", "pack=4000", "--pack", "pack=20", "--currency", "CAD")...)
	for _, want := range []string{"buy of lot", " CAD", "saves 0.00 CAD"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	lots, _ := b.run(t, 0, on("quote", "--simulations", "5", "--csv", "--table", "lots")...)
	if got := column(t, lots, "mean"); number(t, got[0]) != q.GetBoards().GetMean() || number(t, got[2]) != q.GetCost().GetMean() {
		t.Errorf("one lot takes %v, all of it %v", got, q)
	}
	b.run(t, statusUsage, on("quote", "--stock", "pack=4000")...)
	if strings.Contains(text, "shifts") {
		t.Error("shifts are shown without --shift-hours")
	}
	text, _ = b.run(t, 0, on("quote", "--simulations", "5", "--level", "0.6")...)
	if !strings.Contains(text, "one more falls into an interval 60 times in 100") || !strings.Contains(text, "money") {
		t.Error(text)
	}
	b.write(t, "free.yaml", strings.Replace(smallLumber, "  price_per_mbf: 3000\n", "", 1))
	text, _ = b.run(t, 0, append(on("quote", "--simulations", "5", "--objective", "face"), "--lumber", "MILL/free.yaml")...)
	if strings.Contains(text, "money") {
		t.Errorf("lumber without a price costs money:\n%s", text)
	}
	rows, _ := b.run(t, 0, on("quote", "--simulations", "5", "--csv")...)
	if got := number(t, column(t, rows, "mean")[3]); got != q.GetCost().GetMean() {
		t.Errorf("the cost is %g as CSV and %g as JSON", got, q.GetCost().GetMean())
	}
	items, _ := b.run(t, 0, on("quote", "--simulations", "5", "--csv", "--table", "items", "--compare")...)
	if got := column(t, items, "values"); strings.Join(got, " ") != "planned planned own own yield yield" {
		t.Errorf("values %q", got)
	}
	fill, _ := b.run(t, 0, on("quote", "--simulations", "5", "--csv", "--table", "fill")...)
	if got := column(t, fill, "fill"); len(got) != 20 || number(t, got[9]) != 1 || number(t, got[0]) >= 1 {
		t.Errorf("fill %q", got)
	}
	text, _ = b.run(t, 0, on("quote", "--simulations", "5", "--units", "in", "--scrap", "rail=10%", "--shift-hours", "8", "--compare", "--objective", "boards", "--replan-every-boards", "0")...)
	for _, want := range []string{"lineal ft", "sq ft", "by its own values", "by yield alone", "boards; no way", "shifts"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	// 40 m and a tenth more.
	items, _ = b.run(t, 0, on("quote", "--simulations", "5", "--csv", "--table", "items", "--scrap", "rail=10%")...)
	if made := number(t, column(t, items, "made")[1]); made < 44 || made > 50 {
		t.Errorf("%g m of rails are made, 44 m were to be", made)
	}
}

// An impossible item is named, left out of everything else, and reported by the status.
func TestImpossible(t *testing.T) {
	b := small(t)
	for _, c := range []string{"quote", "values"} {
		args := append(on(c), "--order", "MILL/wide.yaml")
		out, errs := b.run(t, statusUnfilled, args...)
		if !strings.Contains(out, "Cannot be made: shelf; every expected board is narrower once trimmed.") || !strings.Contains(errs, "1 item of the order cannot be made from this lumber") {
			t.Errorf("%s\n%s", out, errs)
		}
	}
	_, errs := b.run(t, statusUnfilled, on("quote", "--simulations", "3", "--max-boards", "4")...)
	if !strings.Contains(errs, "3 of 3 simulations had not filled the order after 4 boards; raise --max-boards") {
		t.Error(errs)
	}
}

// Planned values go into the order, except for those that are kept, and equal the
// service's.
func TestValues(t *testing.T) {
	b := small(t)
	out, _ := b.run(t, 0, on("values", "--json", "--save-order", "MILL/valued.json", "--must-prove")...)
	a := &ripwrightv1.PlanValuesResponse{}
	if err := protojson.Unmarshal([]byte(out), a); err != nil {
		t.Fatal(err)
	}
	order := func(name string) *ripwrightv1.CutOrder {
		t.Helper()
		f, err := files.Read(name, []byte(b.read(t, name)), files.Order)
		if err != nil {
			t.Fatal(err)
		}
		o := &ripwrightv1.CutOrder{}
		if err := f.Into(0, o); err != nil {
			t.Fatal(err)
		}
		return o
	}
	before, o := order("small.yaml"), order("valued.json")
	for i, v := range a.GetValues() {
		it := o.GetItems()[i]
		if it.GetValue() != v.GetValue() || it.GetValue() <= 0 || it.GetValuePer() != v.GetValuePer() || !proto.Equal(it.GetRequired(), before.GetItems()[i].GetRequired()) {
			t.Errorf("saved %v, planned %v", it, v)
		}
	}
	if !a.GetProven() || a.GetWhole() == nil {
		t.Errorf("%v", a)
	}
	rows, _ := b.run(t, 0, on("values", "--csv", "--keep", "stile", "--times", "rail=2")...)
	got := column(t, rows, "value")
	if number(t, got[0]) != 21 || abs(number(t, got[1])-2*a.GetValues()[1].GetValue()) > 2e-6 {
		t.Errorf("stile keeps 21 and rail gets twice %g: %q", a.GetValues()[1].GetValue(), got)
	}
	text, _ := b.run(t, 0, on("values", "--objective", "face")...)
	for _, want := range []string{"lumber for one more, m2", "m2 of face; no way", "In whole boards: ", "which is proven to be the least", "pack"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
}

// The lengths of a crosscut item get the values; the item itself has none.
func TestValuesLeaveCrosscutItems(t *testing.T) {
	o := &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "a"}, {ItemId: "b", Crosscut: &ripwrightv1.Crosscut{}}}}
	got := withValues(o, []*ripwrightv1.PlannedValue{{Value: 2}, {Value: 3}})
	if got.GetItems()[0].GetValue() != 2 || got.GetItems()[1].GetValue() != 0 || o.GetItems()[0].GetValue() != 0 {
		t.Errorf("%v of %v", got, o)
	}
}

// A saved order can be solved with.
func TestValuesAreForSolving(t *testing.T) {
	b := small(t)
	b.run(t, 0, on("values", "--save-order", "MILL/valued.json")...)
	out, _ := b.run(t, 0, "solve", "--saw-file", "MILL/saws.yaml", "--order", "MILL/valued.json", "MILL/boards.jsonl", "--csv")
	if !strings.Contains(out, "stile") || !strings.Contains(out, "rail") {
		t.Error(out)
	}
}

func TestArbor(t *testing.T) {
	b := small(t)
	args := []string{"arbor", "--saw-file", "MILL/saws.yaml", "--lumber", "MILL/stock.yaml", "MILL/arbors.yaml"}
	out, _ := b.run(t, 0, append(args, "--json")...)
	a := &ripwrightv1.PlanArborResponse{}
	if err := protojson.Unmarshal([]byte(out), a); err != nil {
		t.Fatal(err)
	}
	best := a.GetSuggestions()[0]
	if len(a.GetSuggestions()) != 4 || best.GetWorth() <= a.GetToday().GetWorth() || abs(best.GetGain().GetMean()-best.GetWorth()+a.GetToday().GetWorth()) > 1e-6 {
		t.Errorf("%v", a)
	}
	rows, _ := b.run(t, 0, append(args, "--csv")...)
	if got := column(t, rows, "worth"); number(t, got[1]) != best.GetWorth() {
		t.Errorf("%q", got)
	}
	b.write(t, "tight.yaml", strings.Replace(b.read(t, "arbors.yaml"), "max: 330mm", "max: 210mm", 1))
	text, _ := b.run(t, 0, "arbor", "--saw-file", "MILL/saws.yaml", "--lumber", "MILL/stock.yaml", "MILL/tight.yaml")
	if !strings.Contains(text, "no room for the fixed blades") {
		t.Error(text)
	}
	for units, want := range map[string]string{"mm": "222.4 283.8 mm", "in": "8.756 11.173 in"} {
		text, _ := b.run(t, 0, append(args, "--units", units)...)
		for _, w := range []string{want, "suggestion 4", "all blades fixed", "with one more moving blade", lockedOut} {
			if !strings.Contains(text, w) {
				t.Errorf("%q is missing in\n%s", w, text)
			}
		}
	}
}

// The demo's day: the sequence of the file changes the arbor for 42 min. Orders 3 and 1
// use the current arbor, 4 and 2 share another, which takes 12 min and two blades of 6
// min.
func TestSequence(t *testing.T) {
	b := open(t)
	text, _ := b.run(t, 0, "sequence", "MILL/day.yaml")
	for _, want := range []string{"This sequence: 24 min of changing, 0 min late", "As in the file: 42 min of changing", "4 h 00 min", lockedOut} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	rows, _ := b.run(t, 0, "sequence", "MILL/day.yaml", "--csv")
	if got := strings.Join(column(t, rows, "change_minutes"), " "); got != "0 0 24 0 0 24 18 0" {
		t.Errorf("changes take %s", got)
	}
	out, _ := b.run(t, 0, "sequence", "MILL/day.yaml", "--json")
	a := &ripwrightv1.SequenceOrdersResponse{}
	if err := protojson.Unmarshal([]byte(out), a); err != nil || a.GetBest().GetChangeMinutes() != 24 || !a.GetProven() {
		t.Errorf("%v, %v", a, err)
	}
}

// Charts are pictures with a line for every item and every choice of values, or a bar for
// every setting.
func TestCharts(t *testing.T) {
	b := small(t)
	out, _ := b.run(t, 0, on("quote", "--simulations", "5", "--compare", "--chart", "MILL/q.svg")...)
	if !strings.Contains(out, "q.svg: Order S by planned values") {
		t.Error(out)
	}
	b.run(t, 0, "arbor", "--saw-file", "MILL/saws.yaml", "--lumber", "MILL/stock.yaml", "MILL/arbors.yaml", "--chart", "MILL/a.svg", "--csv")
	for name, want := range map[string][]string{
		"q.svg": {">stile<", ">rail<", ">planned values<", ">its own values<", ">yield alone<", ">boards ripped<", ">confidence, %<"},
		"a.svg": {">today: 222.4 283.8 mm<", ">suggestion 4: ", "2 blades to move<", ">money a board<"},
	} {
		text := b.read(t, name)
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s lacks %s", name, w)
			}
		}
	}
	_, errs := b.run(t, statusInput, on("quote", "--simulations", "1", "--csv", "--chart", "MILL/none/q.svg")...)
	if !strings.Contains(errs, "--chart: ") {
		t.Error(errs)
	}
}
