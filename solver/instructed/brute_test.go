package instructed_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// asked draws instructions for a problem, for the search and for the oracle; nil if none
// can be kept on the arbor.
func asked(r *rand.Rand, p *oracle.Problem, seen *oracle.Seen) (*instructed.Instructions, *oracle.Instructed) {
	n := &instructed.Instructions{}
	by := &oracle.Instructed{Forced: map[int]int{}, Forbidden: map[int]bool{}, Locked: map[int]int64{}}
	for i := range p.Items {
		switch k := r.IntN(8); {
		case k < 2 && (seen.Items[i].Fits || r.IntN(6) == 0):
			by.Forced[i] = 1 + r.IntN(1+r.IntN(3))
			n.Forced = append(n.Forced, instructed.Forced{Item: i, Strips: by.Forced[i]})
		case k == 2:
			by.Forbidden[i] = true
			n.Forbidden = append(n.Forbidden, i)
		}
	}
	step := int64(p.Saw.Step)
	for axis := instructed.FenceAxis; axis < len(p.Saw.Blades); axis++ {
		if r.IntN(5) > 0 {
			continue
		}
		t, fixed := p.Saw.Fence, int64(0)
		if axis >= 0 {
			if t = p.Saw.Blades[axis].Travel; !p.Saw.Blades[axis].Moving {
				t, fixed = saw.Travel{}, int64(p.Saw.Blades[axis].At)
			}
		}
		var stops []int64
		for x := int64(t.Min)/step*step - step; x <= int64(t.Max); x += step {
			if x >= int64(t.Min) {
				stops = append(stops, x)
			}
		}
		l := instructed.Lock{Axis: axis, Given: r.IntN(2) == 0}
		switch {
		case axis >= 0 && !p.Saw.Blades[axis].Moving:
			by.Locked[axis] = fixed
		case l.Given:
			by.Locked[axis] = stops[r.IntN(len(stops))]
		default: // the nearest stop; of two equally near, the upper one
			near := stops[0]
			for _, x := range stops {
				if d, e := max(x-int64(t.Current), int64(t.Current)-x), max(near-int64(t.Current), int64(t.Current)-near); d <= e {
					near = x
				}
			}
			by.Locked[axis] = near
		}
		l.At = unit.Length(by.Locked[axis])
		if !l.Given {
			l.At = 0
		}
		n.Locks = append(n.Locks, l)
	}
	return n, by
}

// obeys reports whether a plan of the oracle's keeps what was asked for.
func obeys(by *oracle.Instructed, a *oracle.Plan) bool {
	strips := map[int]int{}
	for _, i := range a.Items {
		if strips[i]++; by.Forbidden[i] {
			return false
		}
	}
	for i, n := range by.Forced {
		if strips[i] < n {
			return false
		}
	}
	for axis, at := range by.Locked {
		if is := a.Fence; axis == instructed.FenceAxis && is != at || axis >= 0 && a.Pos[axis] != at {
			return false
		}
	}
	return true
}

// tally counts the outcomes of problems, so that the test is known to have had all of
// them.
type tally struct{ kept, anyway, impossible, arbor, unproven, priced int }

func (c *tally) differs(x *drawn.Trial) error {
	n, by := asked(x.Rand, x.Problem, &x.Answer.Seen)
	if n.Count() == 0 {
		return nil
	}
	q := drawn.Clone(x.Problem)
	q.By = by
	want, ok := oracle.Solve(q, drawn.Most)
	if !ok {
		return nil
	}
	p := agree.Problem(x.Problem)
	if l := n.Faults(p); len(l) > 0 {
		c.arbor++
		if len(want.Settings) > 0 {
			return fmt.Errorf("%+v: %w, and it can be set", *n, l.Err())
		}
		return nil
	}
	o := instructed.Options{Options: rip.Options{RunnersUp: x.Rand.IntN(3), Work: 2_000_000}, Turns: true}
	terms := paced.Terms{Pace: x.Problem.Pace, Price: x.Problem.Price}
	got, err := instructed.Solve(p, terms, n, o)
	if err != nil {
		return err
	}
	if d := audit.Instructed(p, audit.Terms{Pace: terms.Pace, Price: terms.Price, Turns: true}, n, &got.Plan); len(d) > 0 {
		return fmt.Errorf("%+v: %v", *n, d)
	}
	if err := c.compare(x, n, by, want, got, o.RunnersUp); err != nil {
		return fmt.Errorf("%+v, %d runners-up: %w", *n, o.RunnersUp, err)
	}
	return nil
}

func (c *tally) compare(x *drawn.Trial, n *instructed.Instructions, by *oracle.Instructed, want *oracle.Answer, got *instructed.Outcome, runnersUp int) error {
	if !got.Proven {
		c.unproven++
		return nil
	}
	if x.Problem.Price > 0 {
		c.priced++
	}
	plans := append([]*rip.Plan{got.Best}, got.RunnersUp...)
	switch best := x.Answer.Kinds[0]; {
	case obeys(by, best):
		c.anyway++
		if g, w := agree.Written(got.Best), best.String(); g != w || !got.Kept {
			return fmt.Errorf("kept anyway %v:\n got %s\nwant %s", got.Kept, g, w)
		}
		return nil
	case len(want.Kinds) == 0:
		c.impossible++
		if got.Kept {
			return fmt.Errorf("%v is reported as kept by %s, but no plan keeps it", got.Made, agree.Written(got.Best))
		}
		if len(n.Forced) == 1 {
			more := drawn.Clone(x.Problem)
			more.By = &oracle.Instructed{Forced: map[int]int{n.Forced[0].Item: got.Made[0] + 1}, Forbidden: by.Forbidden, Locked: by.Locked}
			if a, ok := oracle.Solve(more, drawn.Most); ok && len(a.Kinds) > 0 {
				return fmt.Errorf("%d strips are the most, and there is %s", got.Made[0], a.Kinds[0])
			}
		}
		return nil
	case !got.Kept:
		return fmt.Errorf("made %v of what is asked for, and there is %s", got.Made, want.Kinds[0])
	case len(plans) != min(runnersUp+1, len(want.Kinds)):
		return fmt.Errorf("%d plans of %d kinds", len(plans), len(want.Kinds))
	}
	c.kept++
	for i, plan := range plans {
		if g, w := agree.Written(plan), want.Kinds[i].String(); g != w {
			return fmt.Errorf("plan %d:\n got %s\nwant %s", i, g, w)
		}
	}
	if got.Bound.Big().Cmp(want.Kinds[0].Net()) != 0 {
		return fmt.Errorf("bound %v, worth %v", got.Bound.Big(), want.Kinds[0].Net())
	}
	return nil
}

// The search agrees with trying everything, where the oracle counts forced strips, leaves
// out forbidden ones and locks axes by its own rules: whole plans, ties and runners-up.
// So does the service's own check. RIPWRIGHT_BRUTE sets how many problems.
func TestBruteForce(t *testing.T) {
	var c tally
	n := drawn.Number(t, 1000)
	for _, want := range []drawn.Set{0, drawn.Of(drawn.Range, drawn.FarUneven), drawn.Of(drawn.CapLength, drawn.FourBlades), drawn.Of(drawn.CapArea, drawn.Range),
		drawn.Of(drawn.Crosscut), drawn.Of(drawn.Priced), drawn.Of(drawn.CapPieces, drawn.Beside), drawn.Of(drawn.Skew, drawn.Refused)} {
		seen := make(chan tally, 1)
		seen <- tally{}
		drawn.Some(t, n/8, want, func(x *drawn.Trial) error {
			var one tally
			err := one.differs(x)
			all := <-seen
			seen <- all.plus(one)
			return err
		})
		c = c.plus(<-seen)
	}
	t.Logf("%+v", c)
	if c.kept < n/8 || c.anyway < n/50 || c.impossible < n/50 || c.arbor < n/100 || c.unproven > n/100 {
		t.Errorf("too few cases of some kinds: %+v", c)
	}
}

func (c tally) plus(o tally) tally {
	return tally{c.kept + o.kept, c.anyway + o.anyway, c.impossible + o.impossible, c.arbor + o.arbor, c.unproven + o.unproven, c.priced + o.priced}
}
