// Package invented draws orders of an invented mill from a seed: a saw, ten widths with
// their required amounts, and the lumber for them. Benchmarks and trials of planning use
// them.
package invented

import (
	"fmt"
	"math/rand/v2"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

const mm = unit.Millimetre

// sample is the number of boards that represent the lumber when values are planned.
const sample = 60

// Order draws an order of ten widths on two fixed and two moving blades, for about the
// given number of boards.
func Order(seed uint64, boards int) *quote.Problem {
	r := rand.New(rand.NewPCG(seed, 11))
	s := saw.Saw{Kerf: 3200 * unit.Micrometre, Step: 100 * unit.Micrometre, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 3200 * unit.Micrometre}
	s.Fence = saw.Travel{Max: 250 * mm}
	moving := saw.Blade{Moving: true, Travel: saw.Travel{Max: 900 * mm, Current: 400 * mm}}
	s.Blades = []saw.Blade{{Moving: true, Travel: saw.Travel{Max: 900 * mm, Current: 100 * mm}}, {At: 250 * mm}, {At: 311 * mm}, moving}
	p := &quote.Problem{Pace: quote.Pace{Pace: run.Pace{Feed: 40_000 * int64(mm), Positioning: 400 * int64(mm), Handling: 2 * time.Second}, ShiftHours: 8}}
	p.Values = values.Problem{Saw: s, Objective: values.Boards, Lost: values.Everything}
	for i := range 10 {
		w := unit.Length(280+r.IntN(700)) * 100 * unit.Micrometre
		if i == 0 {
			w = 57_800 * unit.Micrometre // the width of the fixed pocket
		}
		// About 2.6 m of strips and 0.18 m of width per board, evenly shared.
		metres := int64(float64(boards) * 3 * 165 / w.MM() / 10 * (0.6 + 0.8*r.Float64()))
		p.Values.Items = append(p.Values.Items, order.Item{ID: fmt.Sprint("w", i), Min: w, Max: w, LeastLength: 600 * mm,
			// Set by hand: near 10 per square metre, wide ones a little more.
			Value: int64(9_000_000 + 2_000_000*r.Float64() + w.MM()*20_000), Measure: order.ByLength, Required: metres * 1_000_000})
	}
	p.Lots = []lumber.Lot{{ID: "lumber", Price: 3_000_000, From: lumber.Spread{Mean: 195 * mm, Deviation: 40 * mm, Least: 100 * mm,
		Greatest: 320 * mm, Crook: 6 * mm, Taper: 10 * mm, Thickness: 25 * mm,
		Lengths: []lumber.LengthShare{{Length: 2400 * mm, Share: 1}, {Length: 3000 * mm, Share: 2}, {Length: 3600 * mm, Share: 1}}}}}
	p.Values.Lots = []values.Lot{{ID: "lumber", Price: 3_000_000, Kinds: p.Lots[0].Sample(sample, seed)}}
	return p
}

// Tag draws an order like Order's, of 3 to 10 widths in metres and pieces, for about the
// given number of boards from a tag that has 2 to 6 kinds of them.
func Tag(seed uint64, boards int) *quote.Problem {
	r := rand.New(rand.NewPCG(seed, 13))
	p := Order(seed, boards)
	tag, face := lumber.Tagged{Thickness: 25 * mm}, 0.0
	for range 2 + r.IntN(5) {
		row := lumber.TagRow{Width: unit.Length(120+r.IntN(140)) * mm, Length: unit.Length(4+r.IntN(3)) * 610 * mm, Count: int64(1 + r.IntN(6))}
		tag.Rows = append(tag.Rows, row)
	}
	kinds := lumber.Lot{From: tag}
	for _, k := range kinds.Sample(len(tag.Rows), 0) {
		face += k.Board.Face().SquareMetres()
	}
	face /= float64(len(tag.Rows))
	p.Values.Items = p.Values.Items[:3+r.IntN(8)]
	each := face * 0.75 * float64(boards) / float64(len(p.Values.Items)) // m2
	for i := range p.Values.Items {
		it := &p.Values.Items[i]
		metres := each * (0.6 + 0.8*r.Float64()) / (it.Min.MM() / 1000)
		it.Required = int64(metres) * 1_000_000
		if r.IntN(2) == 0 {
			it.Measure, it.PieceLength, it.LeastLength = order.ByPieces, unit.Length(400+r.IntN(1000))*mm, 0
			it.Required = int64(metres/it.PieceLength.MM()*1000) + 1
		}
	}
	p.Lots = []lumber.Lot{{ID: "lumber", Price: 3_000_000, From: tag}}
	p.Values.Lots = []values.Lot{{ID: "lumber", Price: 3_000_000, Kinds: p.Lots[0].Sample(sample, seed)}}
	return p
}
