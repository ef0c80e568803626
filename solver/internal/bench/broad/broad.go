// Package broad draws broad cases: boards, saws and orders of many kinds in any mixture,
// so that a search is not judged by the saws on which it was tuned. All are synthetic. A
// case depends on a seed, an arbor and a number alone, not on the search that it
// measures: draws of one seed are the same for every revision.
package broad

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

const mm = unit.Millimetre

// Features classify a case, each by a word that Choices lists.
type Features struct {
	Values string // how the widths are valued
	Caps   string // which items are nearly made
	Range  string // a range's worth by area, compared with the widths
	Widths string // how many fixed widths
	Edges  string
	Spoil  string // defects, crosscut lengths
	Step   string
	Travel string // of the moving blades
}

// Case is one board with its saw and order.
type Case struct {
	Seed  uint64
	Arbor Arbor
	// Number distinguishes the cases of one seed and arbor.
	Number int
	Features
	Problem *rip.Problem
}

// Name says how to draw the case again.
func (c *Case) Name() string {
	return fmt.Sprintf("seed %d, %s, number %d", c.Seed, c.Arbor.Name, c.Number)
}

// Choice is one feature and its values, each as likely as it is frequent in the list.
type Choice struct {
	Name   string
	Values []string
	of     func(*Features) *string
}

// Of gives the value of the feature.
func (c *Choice) Of(f *Features) string { return *c.of(f) }

// Choices lists the features, in the order in which they are drawn.
var Choices = []Choice{
	{"values", []string{"hand", "equal", "planned"}, func(f *Features) *string { return &f.Values }},
	{"caps", []string{"none", "two", "each", "last"}, func(f *Features) *string { return &f.Caps }},
	{"range", []string{"none", "less", "same", "more"}, func(f *Features) *string { return &f.Range }},
	{"widths", []string{"8", "20", "60"}, func(f *Features) *string { return &f.Widths }},
	{"edges", []string{"clean", "rough", "waney", "width", "straight"}, func(f *Features) *string { return &f.Edges }},
	{"spoil", append(repeated("none", 27), "defects", "crosscut", "both"), func(f *Features) *string { return &f.Spoil }},
	{"step", append(append(repeated("0.1", 12), repeated("1/64in", 7)...), "0.01"), func(f *Features) *string { return &f.Step }},
	{"travel", []string{"wide", "wide", "wide", "wide", "150", "60"}, func(f *Features) *string { return &f.Travel }},
}

func repeated(word string, n int) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = word
	}
	return all
}

// source gives the random numbers of one case.
func source(seed uint64, arbor, number int) *rand.Rand {
	var key [32]byte
	binary.LittleEndian.PutUint64(key[:], seed)
	binary.LittleEndian.PutUint64(key[8:], uint64(arbor))
	binary.LittleEndian.PutUint64(key[16:], uint64(number))
	return rand.New(rand.NewChaCha8(key))
}

// Draw gives one case if its features are wanted, otherwise nil: so a case is the same
// whatever else is left out. Nil for wanted takes all.
func Draw(seed uint64, a Arbor, number int, wanted func(*Features) bool) *Case {
	r := source(seed, a.index, number)
	c := &Case{Seed: seed, Arbor: a, Number: number}
	for _, ch := range Choices {
		*ch.of(&c.Features) = ch.Values[r.IntN(len(ch.Values))]
	}
	if wanted != nil && !wanted(&c.Features) {
		return nil
	}
	for { // few draws exceed a limit of the service: boards with too many stops
		d := &draw{Rand: r, Case: c, step: steps[c.Step]}
		d.width = 60 * math.Pow(1300.0/60, r.Float64())
		d.length = float64(1200 + r.IntN(3700))
		p := &rip.Problem{}
		c.Problem = p
		d.board(&p.Board)
		d.widths(&p.Saw)
		d.saw(&p.Saw)
		d.values()
		d.random()
		d.spoil()
		d.caps()
		if len(p.Faults()) == 0 {
			return c
		}
	}
}

// draw is a case in progress.
type draw struct {
	*rand.Rand
	*Case
	step          unit.Length
	width, length float64 // of the board, mm
}

var steps = map[string]unit.Length{"0.1": mm / 10, "1/64in": unit.Inch / 64, "0.01": mm / 100}

// stop rounds millimetres to the nearest stop.
func (d *draw) stop(v float64) unit.Length {
	return unit.Length(math.Round(v*float64(mm)/float64(d.step))) * d.step
}

// coarse rounds to what people write: tenths of a millimetre, or 64ths of an inch.
func (d *draw) coarse(v float64) unit.Length {
	return unit.Length(math.Round(v*float64(mm)/float64(max(d.step, mm/10)))) * max(d.step, mm/10)
}

func (d *draw) between(lo, hi float64) float64 { return lo + (hi-lo)*d.Float64() }

func (d *draw) chance(p float64) bool { return d.Float64() < p }

func length(v float64) unit.Length {
	l, _ := unit.FromMM(v)
	return l
}
