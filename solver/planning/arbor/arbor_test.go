package arbor_test

import (
	"fmt"
	"math"
	"math/big"
	"reflect"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

const mm = unit.Millimetre

// problem is an invented saw of two fixed blades and a moving one, and an
// invented order.
func problem(seed uint64) *arbor.Problem {
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm, Fence: saw.Travel{Max: 100 * mm}}
	s.Blades = []saw.Blade{{At: 100 * mm}, {At: 180 * mm}, {Moving: true, Travel: saw.Travel{Min: 150 * mm, Max: 400 * mm, Current: 210 * mm}}}
	p := &arbor.Problem{Saw: s, Spacers: arbor.Spacers{Increment: 10 * mm, Origin: 3 * mm, Min: 60 * mm, Max: 210 * mm}}
	for i, w := range []unit.Length{39, 56, 71} {
		at := (w + unit.Length(seed)*3) * mm
		it := order.Item{ID: fmt.Sprint(w), Min: at, Max: at, Value: int64(10-i) * 1_000_000, Tolerance: 2 * mm}
		p.Orders = append(p.Orders, arbor.Order{Weight: int64(1 + i%2), Items: []order.Item{it,
			{ID: "any", Min: 30 * mm, Max: 60 * mm, Random: true, Value: 3_000_000}}})
	}
	lot := lumber.Lot{From: lumber.Spread{Mean: 160 * mm, Deviation: 40 * mm, Least: 80 * mm, Greatest: 260 * mm,
		Lengths: []lumber.LengthShare{{Length: 2000 * mm, Share: 1}, {Length: 3000 * mm, Share: 1}}}}
	p.Boards = lot.Sample(8, seed)
	return p
}

func options(settings int) arbor.Options {
	return arbor.Options{Suggestions: 5, Settings: settings, Level: 0.9}
}

// worth of a setting, from separate sums; nil if the blades cannot stand there.
func worth(p *arbor.Problem, at []unit.Length) *big.Int {
	s := p.Saw
	s.Blades = slices.Clone(s.Blades)
	s.Blades[0].At, s.Blades[1].At = at[0], at[1]
	total := new(big.Int)
	for _, o := range p.Orders {
		for _, k := range p.Boards {
			r, err := rip.Solve(&rip.Problem{Board: k.Board, Saw: s, Items: o.Items}, rip.Options{})
			if err != nil {
				return nil
			}
			total.Add(total, new(big.Int).Mul(r.Best.Worth.Big(), big.NewInt(o.Weight*k.Count)))
		}
	}
	return total
}

// The best setting is the best of all, and a search of some of them finds none that is
// better.
func TestExhaustive(t *testing.T) {
	missed := 0
	for seed := range uint64(brief.Fewer(4)) {
		p := problem(seed)
		var best *big.Int
		for a := unit.Length(63); a <= 203; a += 10 {
			for b := a + 10; b <= 203; b += 10 {
				if w := worth(p, []unit.Length{a * mm, b * mm}); w != nil && (best == nil || w.Cmp(best) > 0) {
					best = w
				}
			}
		}
		r, err := arbor.Solve(p, options(1000))
		if err != nil {
			t.Fatal(err)
		}
		if !r.All || worth(p, r.Best[0].Fixed).Cmp(best) != 0 {
			t.Errorf("seed %d: all %v, %v", seed, r.All, r.Best[0])
		}
		part, err := arbor.Solve(p, options(60))
		if err != nil {
			t.Fatal(err)
		}
		switch c := worth(p, part.Best[0].Fixed).Cmp(best); {
		case part.All || part.Tried > 60:
			t.Errorf("seed %d: %d tried", seed, part.Tried)
		case c > 0:
			t.Errorf("seed %d: the best of some settings beats the best of all", seed)
		case c < 0:
			missed++
		}
	}
	if missed > 1 {
		t.Errorf("60 settings missed the best of 91 in %d of 4", missed)
	}
}

func TestSuggestions(t *testing.T) {
	p := problem(1)
	r, err := arbor.Solve(p, options(1000))
	if err != nil {
		t.Fatal(err)
	}
	again, err := arbor.Solve(p, options(1000))
	if err != nil || !reflect.DeepEqual(r, again) {
		t.Error("two answers to one problem", err)
	}
	if len(r.Best) < 2 || len(r.Best) > 5 || r.Today.Moved != 0 || r.Today.Gain != 0 {
		t.Errorf("%d suggestions, today %+v", len(r.Best), r.Today)
	}
	pockets := map[unit.Length]bool{}
	for i, s := range r.Best {
		if pocket := s.Fixed[1] - s.Fixed[0]; pockets[pocket] || s.Gain <= 0 {
			t.Errorf("%+v is no better than today's, or the same as one before", s)
		} else {
			pockets[pocket] = true
		}
		if i > 0 && s.Worth > r.Best[i-1].Worth {
			t.Errorf("%d is worth more than the one before", i)
		}
		if math.Abs(s.Worth-r.Today.Worth-s.Gain) > 1e-9 || s.GainLow > s.Gain || s.GainHigh < s.Gain {
			t.Errorf("%+v", s)
		}
		for _, a := range s.Fixed {
			if (a-3*mm)%(10*mm) != 0 || a < 60*mm || a > 210*mm {
				t.Errorf("%v is not a position that the spacers allow", a.MM())
			}
		}
		if s.Moved != 2 { // neither of today's blades stands on a spacer
			t.Errorf("%d blades moved", s.Moved)
		}
	}
	// Here there is room for the additional blade beyond the wood.
	if r.MoreMoving == nil || r.MoreMoving.Worth < r.Best[0].Worth-1e-9 {
		t.Errorf("one more moving blade: %+v, without %v", r.MoreMoving, r.Best[0].Worth)
	}
	if r.FixedOnly == nil || len(r.FixedOnly.Fixed) != 3 {
		t.Errorf("fixed only: %+v", r.FixedOnly)
	}
}

// Spacers with an increment of a tenth of a millimetre leave far more settings than can
// be tried. The search finds pockets as wide as the items: with all blades fixed, two
// pockets for two widths, which today's setting lacks.
func TestFineSpacers(t *testing.T) {
	p := problem(1)
	p.Spacers = arbor.Spacers{Increment: mm / 10, Min: 60 * mm, Max: 400 * mm}
	p.Saw.Step = mm / 10
	p.Saw.Blades = []saw.Blade{{At: 100 * mm}, {At: 130 * mm}, {At: 160 * mm}}
	item := func(w unit.Length) order.Item {
		return order.Item{ID: fmt.Sprint(w), Min: w, Max: w, Value: 10_000_000}
	}
	p.Orders = []arbor.Order{{Weight: 1, Items: []order.Item{item(487 * mm / 10), item(632 * mm / 10)}}}
	r, err := arbor.Solve(p, options(300))
	if err != nil {
		t.Fatal(err)
	}
	found := map[unit.Length]bool{}
	best := r.Best[0].Fixed
	for i := 1; i < len(best); i++ {
		found[best[i]-best[i-1]-p.Saw.Kerf] = true
	}
	if r.Today.Worth != 0 || r.Tried > 300 || len(found) == 0 || r.Best[0].Worth <= 0 || r.FixedOnly.Worth < r.Best[0].Worth {
		t.Errorf("today %v, best %v of %d, fixed only %v", r.Today.Worth, r.Best[0], r.Tried, r.FixedOnly)
	}
	for w := range found {
		if w != 487*mm/10 && w != 632*mm/10 {
			t.Errorf("a pocket of %g mm in %v", w.MM(), best)
		}
	}
}

// Whenever a search is stopped, it returns today's setting, and the best one seen so far
// if one was better.
func TestStopped(t *testing.T) {
	screened, full := 0, 0
	for after := 1; after < 3000; after += 1 + after/2 {
		n := 0
		o := options(60)
		o.Stop = func() bool { n++; return n > after }
		p := problem(2)
		r, err := arbor.Solve(p, o)
		if err != nil || r.All || !slices.Equal(r.Today.Fixed, []unit.Length{100 * mm, 180 * mm}) {
			t.Fatalf("%+v %v", r, err)
		}
		if !r.Stopped {
			break
		}
		for _, s := range r.Best {
			if s.Boards == len(p.Boards) {
				full++
			} else {
				screened++
			}
			if s.Boards == 0 || s.Gain <= 0 {
				t.Errorf("stopped after %d polls: %+v", after, s)
			}
		}
	}
	if screened == 0 || full == 0 {
		t.Errorf("%d suggestions by a few boards, %d by all", screened, full)
	}
}

// One fixed blade and a moving one beside it: what is cut does not depend on where the
// fixed one stands, so no change is suggested.
func TestNothingToGain(t *testing.T) {
	p := problem(0)
	p.Saw.Step = mm / 2
	p.Saw.Fence = saw.Travel{Min: -100 * mm, Max: 50 * mm}
	p.Saw.Blades = []saw.Blade{{At: 100 * mm}, {Moving: true, Travel: saw.Travel{Min: 130 * mm, Max: 260 * mm, Current: 130 * mm}}}
	p.Saw.Trim = 0
	p.Spacers = arbor.Spacers{Increment: 10 * mm, Min: 60 * mm, Max: 140 * mm}
	p.Orders = []arbor.Order{{Weight: 1, Items: []order.Item{
		{ID: "a", Min: 50 * mm, Max: 50 * mm, Value: 10_000_000}, {ID: "b", Min: 625 * mm / 10, Max: 625 * mm / 10, Value: 11_000_000}}}}
	lot := lumber.Lot{From: lumber.Spread{Mean: 175 * mm, Least: 175 * mm, Greatest: 175 * mm, Lengths: []lumber.LengthShare{{Length: 2400 * mm, Share: 1}}}}
	p.Boards = lot.Sample(1, 1)
	r, err := arbor.Solve(p, options(500))
	if err != nil || !r.All || len(r.Best) != 0 || r.Today.Worth <= 0 {
		t.Errorf("%+v %v", r, err)
	}
}
