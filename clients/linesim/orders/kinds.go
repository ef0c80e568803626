package orders

import (
	"fmt"
	"math"
	"math/rand/v2"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// kind is a kind of order, on a kind of saw, from a kind of lumber. Each draw of it has
// other widths, amounts and boards.
type kind struct {
	name   string
	boards int // that it takes, approximately
	lots   func(r *rand.Rand) []lumber.Lot
	items  func(r *rand.Rand) []*ripwrightv1.Item // with shares of the lumber as amounts, see amounts
	saw    func(r *rand.Rand) *ripwrightv1.Saw
	values ripwrightv1.ValueChoice
	// cost says that the objective is the lumber's price; otherwise it is its face.
	cost bool
}

// kinds are the kinds on which quotes are judged.
var kinds = []kind{
	{name: "spread, metres", boards: 60, lots: spreads, items: metres(7), saw: mixed},
	{name: "spread, metres, small", boards: 20, lots: spreads, items: metres(4), saw: mixed},
	{name: "spread, metres, large", boards: 150, lots: spreads, items: metres(8), saw: mixed},
	{name: "spread, pieces of a length", boards: 50, lots: spreads, items: lengths(6), saw: mixed},
	{name: "spread, whole strips", boards: 50, lots: spreads, items: strips(5), saw: mixed},
	{name: "spread, ranges by area", boards: 50, lots: spreads, items: ranges(3), saw: moving},
	{name: "spread, ranges and widths", boards: 50, lots: spreads, items: both(metres(4), ranges(2)), saw: mixed},
	{name: "spread, crosscut", boards: 40, lots: spreads, items: crosscut(3), saw: mixed},
	{name: "spread, crook and taper", boards: 60, lots: crooked, items: metres(6), saw: mixed},
	{name: "spread, fixed blades", boards: 60, lots: spreads, items: metres(4), saw: fixed},
	{name: "spread, values by hand", boards: 60, lots: spreads, items: metres(6), saw: mixed, values: ripwrightv1.ValueChoice_VALUE_CHOICE_OWN},
	{name: "spread, pieces, for yield alone", boards: 60, lots: spreads, items: lengths(5), saw: mixed, values: ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD},
	{name: "tag of 3 kinds, metres", boards: 70, lots: tag(3), items: metres(6), saw: mixed},
	{name: "tag of 6 kinds, pieces", boards: 70, lots: tag(6), items: lengths(6), saw: mixed},
	{name: "tag of 40 kinds, metres and pieces", boards: 60, lots: tag(40), items: both(metres(3), lengths(4)), saw: moving},
	{name: "tag of 6 kinds, pieces, large", boards: 150, lots: tag(6), items: both(lengths(5), strips(2)), saw: mixed},
	{name: "listed with defects, metres", boards: 60, lots: measured(80), items: metres(6), saw: mixed},
	{name: "listed with defects, crosscut", boards: 40, lots: measured(50), items: crosscut(3), saw: mixed},
	{name: "listed, pieces and ranges", boards: 50, lots: measured(60), items: both(lengths(4), ranges(1)), saw: moving},
	{name: "two lots at prices, for cost", boards: 60, lots: two, items: metres(6), saw: mixed, cost: true},
}

// mixed has two fixed blades between two that move.
func mixed(*rand.Rand) *ripwrightv1.Saw {
	return gang(travel(900), at(250), at(311), travel(900))
}

// moving has three blades, all of which move.
func moving(*rand.Rand) *ripwrightv1.Saw {
	return gang(travel(700), travel(800), travel(900))
}

// fixed has pockets of the order's first widths, which come from the same draw.
func fixed(r *rand.Rand) *ripwrightv1.Saw {
	w := widths(rand.New(rand.NewPCG(r.Uint64(), 0)), 4)
	blades, x := []*ripwrightv1.Blade{at(60)}, 60.0
	for i := range 5 {
		x = math.Round((x+3.2+w[i%len(w)])*10) / 10
		blades = append(blades, at(x))
	}
	return gang(blades...)
}

func gang(blades ...*ripwrightv1.Blade) *ripwrightv1.Saw {
	return &ripwrightv1.Saw{Name: "drawn", KerfMm: proto.Float64(3.2), StepMm: 0.1, Fence: &ripwrightv1.Travel{MaxMm: 350}, Blades: blades,
		MinGapMm: 20, MinStripWidthMm: 20, EdgeTrimMm: proto.Float64(3.2), FeedMPerMin: proto.Float64(40), PositioningMmPerS: proto.Float64(400), HandlingS: 2}
}

func at(x float64) *ripwrightv1.Blade {
	return &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: x}}
}

func travel(to float64) *ripwrightv1.Blade {
	return &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_Moving{Moving: &ripwrightv1.Travel{MaxMm: to}}}
}

func spreads(r *rand.Rand) []lumber.Lot {
	return []lumber.Lot{{ID: "lumber", Price: 3_000_000, From: lumber.Spread{Mean: within(r, 170, 210), Deviation: within(r, 25, 45), Least: 100 * mm,
		Greatest: 320 * mm, Crook: 4 * mm, Taper: 8 * mm, Thickness: 27 * mm,
		Lengths: []lumber.LengthShare{{Length: 2440 * mm, Share: 1}, {Length: 3050 * mm, Share: 2}, {Length: 3660 * mm, Share: 1}}}}}
}

func crooked(r *rand.Rand) []lumber.Lot {
	lots := spreads(r)
	s := lots[0].From.(lumber.Spread)
	s.Crook, s.Taper = within(r, 10, 25), within(r, 20, 50)
	lots[0].From = s
	return lots
}

func two(r *rand.Rand) []lumber.Lot {
	lots := append(spreads(r), tag(12)(r)...)
	lots[0].ID, lots[1].ID = "dear", "cheap"
	lots[0].Price, lots[1].Price = 3_900_000, 2_800_000
	return lots
}

// tag has boards of n widths, of one length each.
func tag(n int) func(r *rand.Rand) []lumber.Lot {
	return func(r *rand.Rand) []lumber.Lot {
		t := lumber.Tagged{Thickness: 27 * mm}
		for range n {
			t.Rows = append(t.Rows, lumber.TagRow{Width: within(r, 120, 260), Length: unit.Length(4+r.IntN(3)) * 610 * mm, Count: int64(10 + r.IntN(60))})
		}
		return []lumber.Lot{{ID: "lumber", Price: 3_000_000, From: t}}
	}
}

// measured lists boards of a spread, with knots and splits.
func measured(n int) func(r *rand.Rand) []lumber.Lot {
	return func(r *rand.Rand) []lumber.Lot {
		lots := spreads(r)
		list := make(lumber.Listed, n)
		for i := range list {
			b := lots[0].From.Draw(r)
			for range r.IntN(4) {
				x, y := within(r, 0, b.Length.MM()-200), within(r, 10, 90)
				d := wood.Defect{FromX: x, ToX: x + within(r, 20, 60), FromY: y, ToY: y + within(r, 15, 40), Kind: "knot"}
				if r.IntN(4) == 0 {
					d.ToX, d.Kind = x+200*mm, "split"
				}
				b.Defects = append(b.Defects, d)
			}
			list[i] = lumber.Kind{Board: b, Count: int64(1 + r.IntN(3))}
		}
		lots[0].From = list
		return lots
	}
}

func within(r *rand.Rand, from, to float64) unit.Length {
	return unit.Length(from+(to-from)*r.Float64()) * mm
}

// widths are those of the order's items, in mm; they are the same for the same random
// source.
func widths(r *rand.Rand, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = float64(280+r.IntN(700)) / 10
	}
	return out
}

// metres and the functions that follow give items; amounts sets how much of them is
// wanted.
func metres(n int) func(r *rand.Rand) []*ripwrightv1.Item {
	return func(r *rand.Rand) []*ripwrightv1.Item {
		var out []*ripwrightv1.Item
		for i, w := range widths(rand.New(rand.NewPCG(r.Uint64(), 0)), n) {
			out = append(out, &ripwrightv1.Item{ItemId: fmt.Sprint("width ", i), Width: &ripwrightv1.Item_WidthMm{WidthMm: w}, MinLengthMm: 600,
				Value: 9 + 2*r.Float64() + w/50, Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 0.5 + r.Float64()}}})
		}
		return out
	}
}

func lengths(n int) func(r *rand.Rand) []*ripwrightv1.Item {
	return func(r *rand.Rand) []*ripwrightv1.Item {
		out := metres(n)(r)
		for i, it := range out {
			it.ItemId, it.PieceLengthMm, it.MinLengthMm = fmt.Sprint("piece ", i), proto.Float64(float64(40+r.IntN(100))*10), 0
		}
		return out
	}
}

func strips(n int) func(r *rand.Rand) []*ripwrightv1.Item {
	return func(r *rand.Rand) []*ripwrightv1.Item {
		out := metres(n)(r)
		for i, it := range out {
			it.ItemId, it.MinLengthMm = fmt.Sprint("strip ", i), 2000
			it.Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 1}}
		}
		return out
	}
}

func ranges(n int) func(r *rand.Rand) []*ripwrightv1.Item {
	return func(r *rand.Rand) []*ripwrightv1.Item {
		out := metres(n)(r)
		for i, it := range out {
			from := it.GetWidthMm()
			it.ItemId, it.Width = fmt.Sprint("range ", i), &ripwrightv1.Item_Range{Range: &ripwrightv1.WidthRange{MinMm: from, MaxMm: from + 10 + 50*r.Float64()}}
			it.Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_AreaM2{AreaM2: 1}}
		}
		return out
	}
}

func crosscut(n int) func(r *rand.Rand) []*ripwrightv1.Item {
	return func(r *rand.Rand) []*ripwrightv1.Item {
		out := metres(n)(r)
		for i, it := range out {
			it.ItemId, it.MinLengthMm, it.Value, it.Required = fmt.Sprint("cut ", i), 0, 0, nil
			it.Crosscut = &ripwrightv1.Crosscut{KerfMm: 4, EndTrimMm: 10}
			for j := range 2 + r.IntN(2) {
				l := float64(30+35*j+r.IntN(30)) * 10
				it.Crosscut.Lengths = append(it.Crosscut.Lengths, &ripwrightv1.CutLength{LengthMm: l, Value: l / 500, Required: proto.Int32(1)})
			}
		}
		return out
	}
}

func both(a, b func(r *rand.Rand) []*ripwrightv1.Item) func(r *rand.Rand) []*ripwrightv1.Item {
	return func(r *rand.Rand) []*ripwrightv1.Item { return append(a(r), b(r)...) }
}

// usable is the fraction of a board's face that an order can require, approximately.
const usable = 0.72

// amounts sets the items' requirements, by face, so that they take about the given number
// of boards.
func amounts(r *rand.Rand, items []*ripwrightv1.Item, boards int, lots []lumber.Lot) {
	face, length := 0.0, 0.0
	const some = 200
	for range some {
		b := lots[r.IntN(len(lots))].From.Draw(r)
		face += b.Face().SquareMetres() / some
		length += b.Length.MM() / 1000 / some
	}
	each := face * usable * float64(boards) / float64(len(items)) // m2
	for _, it := range items {
		area, w := each*(0.6+0.8*r.Float64()), it.GetWidthMm()/1000
		if l := it.GetCrosscut().GetLengths(); len(l) > 0 {
			for _, c := range l {
				c.Required = proto.Int32(int32(math.Ceil(area / float64(len(l)) / w / (c.GetLengthMm() / 1000))))
			}
			continue
		}
		switch a := it.GetRequired().GetAmount().(type) {
		case *ripwrightv1.Amount_AreaM2:
			a.AreaM2 = math.Round(area*100) / 100
		case *ripwrightv1.Amount_Pieces:
			a.Pieces = int32(math.Ceil(area / w / length))
		case *ripwrightv1.Amount_LengthM:
			if p := it.GetPieceLengthMm(); p > 0 {
				it.Required.Amount = &ripwrightv1.Amount_Pieces{Pieces: int32(math.Ceil(area / w / (p / 1000)))}
				continue
			}
			a.LengthM = math.Round(area / w)
		}
	}
}
