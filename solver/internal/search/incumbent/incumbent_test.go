package incumbent_test

import (
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/search/incumbent"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = int64(unit.Millimetre)

// even is a board without defects, 200 mm wide and 1 m long, a saw with a kerf of 4 mm,
// and items worth their width.
func even(blades string, items ...incumbent.Item) *incumbent.Problem {
	b := &wood.Board{Length: 1000 * unit.Millimetre, Stations: []wood.Station{{Far: 200 * unit.Millimetre}}}
	p := &incumbent.Problem{Kerf: 4 * mm, Gap: 20 * mm, Step: mm / 10, FenceHi: 200 * mm, FenceLo: 0, Clear: wood.NewClear(b, 0),
		FullHi: 200 * mm, OuterHi: 200 * mm, Items: items}
	for i, kind := range blades {
		at := int64(200+60*i) * mm
		if kind == 'F' {
			p.Blades = append(p.Blades, incumbent.Blade{Lo: at, Hi: at})
			continue
		}
		p.Blades = append(p.Blades, incumbent.Blade{Moving: true, Lo: int64(24*i) * mm, Hi: int64(1000+24*i) * mm})
	}
	p.Strip = func(_ int, near, far int64, runs []wood.Stretch) (worth, amount int64) {
		for _, r := range runs {
			amount += int64(r.Length())
		}
		return (far - near) / 1000 * (amount / 1000), amount
	}
	return p
}

func width(v int64) incumbent.Item { return incumbent.Item{Lo: v * mm, Hi: v * mm} }

// run gives the worth of the best plan in mm of width, and the plans offered.
func run(p *incumbent.Problem, steps int64) (best int64, all []incumbent.Plan) {
	h := incumbent.New(p, incumbent.Options{
		Spend: func(n int64) bool { steps -= n; return steps > 0 },
		Offer: func(plan *incumbent.Plan) { best, all = plan.Worth, append(all, *plan) },
	})
	h.Start()
	h.Tables()
	h.Improve()
	return best / (mm / 1000) / 1000, all
}

// On such a simple board the best plan is found by hand.
func TestByHand(t *testing.T) {
	capped := width(90)
	capped.Open = 1_000_000 // one strip of 1 m
	for _, c := range []struct {
		name string
		p    *incumbent.Problem
		want int64
	}{
		// 90 + 60 + 42 and two kerfs are the board's 200 mm.
		{"all moving", even("MMMM", width(90), width(60), width(42), width(35)), 192},
		// Two of 90 and a kerf leave 16 mm.
		{"not capped", even("MMMM", width(90), width(30)), 180},
		// One of 90 and, with three pockets, two of 30.
		{"capped", even("MMMM", capped, width(30)), 150},
		// 56 mm between two fixed blades 60 mm apart, 90 and 46 beside them: 200 with two kerfs.
		{"fixed inside", even("MFFM", width(56), width(90), width(46)), 192},
		// The range takes all that a single strip can, next to the narrowest pocket.
		{"range", even("MMM", incumbent.Item{Lo: 30 * mm, Hi: 130 * mm, ByWidth: true}), 196},
	} {
		if best, all := run(c.p, 1<<40); best != c.want {
			t.Errorf("%s: %d mm of strips, by hand %d: %+v", c.name, best, c.want, all[len(all)-1])
		}
	}
}

// The best plan comes last, repeated runs give the same plans, and there is a plan at any
// limit.
func TestLimits(t *testing.T) {
	p := even("FMMFM", width(90), width(42), width(35), incumbent.Item{Lo: 30 * mm, Hi: 80 * mm, ByWidth: true})
	before := int64(0)
	for _, steps := range []int64{0, 1, 100, 1000, 10_000, 1 << 40} {
		best, all := run(p, steps)
		if best == 0 || best < before {
			t.Errorf("%d steps: %d mm, %d with fewer", steps, best, before)
		}
		before = best
		for i := range all {
			if i > 0 && all[i].Worth <= all[i-1].Worth {
				t.Errorf("%d steps: plan %d is no better than the one before", steps, i)
			}
		}
		if _, again := run(p, steps); !reflect.DeepEqual(all, again) {
			t.Errorf("%d steps: a second search differs", steps)
		}
	}
}
