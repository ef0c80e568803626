package drawn

import (
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/unit"
)

const mm = unit.Millimetre

// dice draw one problem.
type dice struct {
	*rand.Rand
	want Set
	p    *oracle.Problem
	rare float64       // how likely a feature that is not wanted is, at most 1
	busy bool          // many blades and items, most with caps
	at   []unit.Length // approximate places of the blades
	// bands are the pockets of some settings, a list for each setting.
	bands [][]band
}

type band struct{ lo, hi unit.Length }

func (b band) width() unit.Length { return b.hi - b.lo }

// Draw draws a valid problem from a seed, with all wanted features if the draw succeeds:
// Present decides.
func Draw(seed int64, want Set) *oracle.Problem {
	for again := uint64(0); ; again++ {
		d := &dice{Rand: rand.New(rand.NewPCG(uint64(seed), uint64(want)^again<<60)), want: want, p: &oracle.Problem{}}
		d.busy = d.IntN(3) == 0
		if d.rare = 1; d.IntN(2) == 0 {
			d.rare = 0.2
		}
		d.saw()
		d.board()
		d.settings()
		d.defects()
		d.items()
		d.price()
		if Valid(d.p) {
			return d.p
		}
	}
}

// Valid reports whether a problem has no faults.
func Valid(p *oracle.Problem) bool {
	if len(p.Board.Faults())+len(p.Saw.Faults()) > 0 {
		return false
	}
	m := &p.Saw.Limits
	out := func(v, lo, hi unit.Length) bool { return lo > 0 && v < lo || hi > 0 && v > hi }
	if out(p.Board.Length, m.MinLength, m.MaxLength) || out(p.Board.GreatestWidth(), m.MinWidth, m.MaxWidth) {
		return false
	}
	for i := range p.Items {
		it := &p.Items[i]
		if len(it.Faults()) > 0 || it.Min < p.Saw.LeastStrip {
			return false
		}
		for _, c := range it.Cuts {
			if m.MaxLength > 0 && c.Length > m.MaxLength {
				return false
			}
		}
	}
	return true
}

// has decides on a feature: it is present if it is wanted, absent if it would exclude a
// wanted one, and otherwise present with a chance.
func (d *dice) has(f Feature, chance float64) bool {
	switch {
	case d.want.Has(f):
		return true
	case d.Float64() >= chance*d.rare:
		return false
	}
	return Excluded(d.want|Of(f)) == ""
}

// one decides on one of several features, of which the first is the likeliest.
func (d *dice) one(of ...Feature) int {
	for i, f := range of {
		if d.want.Has(f) {
			return i
		}
	}
	for {
		if i := min(d.IntN(len(of)), d.IntN(len(of)+1)); Excluded(d.want|Of(of[i])) == "" {
			return i
		}
	}
}

// length gives a length from lo to hi: mostly whole tenths of a millimetre.
func (d *dice) length(lo, hi unit.Length) unit.Length {
	if hi <= lo {
		return lo
	}
	grain := []unit.Length{mm, mm, mm / 10, mm / 10, unit.Micrometre}[d.IntN(5)]
	n := unit.Length(d.Int64N(int64(hi-lo)/int64(grain) + 1))
	return lo + n*grain
}

// steps rounds a position to a stop.
func (d *dice) steps(v unit.Length) unit.Length { return v / d.p.Saw.Step * d.p.Saw.Step }

func (d *dice) price() {
	if !d.has(Priced, 0.25) && !d.want.Has(Overlaps) {
		return
	}
	p := d.p
	p.Pace.Feed = int64(10+d.IntN(41)) * 1e9
	p.Pace.Positioning = int64(1+d.IntN(60)) * 1e6
	p.Pace.Overlaps = d.has(Overlaps, 0.4)
	if d.IntN(2) == 0 {
		p.Pace.Handling = 1 + unitSeconds(d.Float64()*2)
	}
	if d.IntN(20) == 0 && d.want&Of(Priced, Overlaps) == 0 {
		p.Pace.Positioning = 0
	}
	// The price matters if a move of a few steps costs about a share of a strip.
	strip := 0.05 * p.Board.Length.MM() / 1000 * (0.25 + d.Float64())
	seconds := 3 * p.Saw.Step.MM() / 1e3 / max(float64(p.Pace.Positioning)/1e9, 1e-3)
	p.Price = 1 + int64(strip/seconds*[]float64{0.003, 0.03, 0.1, 0.3, 1}[d.IntN(5)]*1e9)
}
