package overlap_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/internal/agree"
	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/overlap"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// most gives the strips of an item that a plan needs, the largest until what is open is
// filled, and whether there is such a limit.
func most(it *order.Item, i int, plan *rip.Plan) (strips []rip.Pocket, limited bool) {
	var all []rip.Pocket
	for _, pk := range plan.Pockets {
		if pk.Item == i {
			all = append(all, pk)
		}
	}
	if it.Measure == order.Unlimited || len(it.Cuts) > 0 {
		return all, false
	}
	left := float64(it.Required - it.Made)
	for len(all) > 0 && left > 0 {
		top := 0
		for k := range all {
			if all[k].Amount > all[top].Amount {
				top = k
			}
		}
		if left -= float64(all[top].Amount); it.Measure == order.ByArea {
			left += float64(all[top].Amount) * 0.999
		}
		strips, all = append(strips, all[top]), append(all[:top:top], all[top+1:]...)
	}
	return strips, true
}

// covers reports whether a plan whose items count a number of times has as much of each
// of the first items as the best plan for them alone.
func covers(items []order.Item, plan, alone *rip.Plan, times int64) bool {
	for i := range items {
		has := func(of *rip.Plan, times int64) *big.Rat {
			sum := new(big.Rat)
			for k := range of.Pockets {
				pk := &of.Pockets[k]
				if pk.Item != i {
					continue
				}
				if it := &items[i]; it.Measure == order.Unlimited || len(it.Cuts) > 0 {
					sum.Add(sum, new(big.Rat).SetFrac(pk.Worth.Big(), big.NewInt(times)))
				} else if it.Measure == order.ByArea {
					sum.Add(sum, big.NewRat(pk.Amount, 1000))
				} else {
					sum.Add(sum, big.NewRat(pk.Amount, 1))
				}
			}
			return sum
		}
		a, b := has(plan, times), has(alone, 1)
		enough := a.Cmp(b) >= 0
		if it := &items[i]; it.Measure != order.Unlimited && len(it.Cuts) == 0 {
			enough = enough || a.Cmp(big.NewRat(max(it.Required-it.Made, 0), 1)) >= 0
		}
		if !enough {
			return false
		}
	}
	return true
}

// tighten reduces what is open of an item to what one strip less than it needs can count,
// plus one.
func tighten(it *order.Item, i int, p *rip.Problem, plan *rip.Plan) {
	strips, limited := most(it, i, plan)
	if !limited || len(strips) == 0 {
		return
	}
	long, each := int64(p.Board.Length)/1000, int64(1)
	switch wide := int64(it.Max + it.Tolerance - it.Joint); {
	case it.Measure == order.ByLength:
		each = long
	case it.Measure == order.ByArea:
		each = (wide*long + 999) / 1000
	case it.PieceLength > 0:
		each = long * 1000 / int64(it.PieceLength)
	}
	if left := int64(len(strips)-1)*each + 1; left < it.Required-it.Made {
		it.Made = it.Required - left
	}
}

// tally counts the outcomes of problems, so that the test is known to have had all of
// them.
type tally struct{ both, alone, served, unproven int }

// but is a plan as written, without its worth.
func but(written string) string { return written[strings.Index(written, ", deviation"):] }

func (c *tally) differs(x *drawn.Trial) error {
	n := len(x.Problem.Items)
	if n < 2 {
		return nil
	}
	first := 1 + x.Rand.IntN(n-1)
	p, terms := agree.Problem(x.Problem), paced.Terms{Pace: x.Problem.Pace, Price: x.Problem.Price}
	o := overlap.Options{Options: rip.Options{RunnersUp: x.Rand.IntN(3), Work: 4_000_000}, Turns: true}
	got, err := overlap.Solve(p, first, terms, o)
	if err != nil {
		return err
	}
	if d := audit.Result(p, audit.Terms{Pace: terms.Pace, Price: terms.Price, Turns: true}, got); len(d) > 0 {
		return fmt.Errorf("%d items first: %v", first, d)
	}
	one := *p
	one.Items = p.Items[:first]
	alone, err := turned.Solve(&one, terms, rip.Options{})
	if err != nil {
		return err
	}
	for i, plan := range append([]*rip.Plan{got.Best}, got.RunnersUp...) {
		if got.Proven && !covers(p.Items[:first], plan, alone.Best, 1) && (i == 0 || agree.Written(got.Best) != agree.Written(alone.Best)) {
			return fmt.Errorf("%d items first: plan %d gives them less than\n%s:\n%s", first, i, agree.Written(alone.Best), agree.Written(plan))
		}
	}
	if !got.Proven {
		c.unproven++
		return nil
	}
	want, count := but(agree.Written(alone.Best)), &c.alone
	more := drawn.Clone(x.Problem)
	for i := range first {
		tighten(&more.Items[i], i, p, alone.Best)
		more.Items[i].Value *= overlap.Multiple
		for k := range more.Items[i].Cuts {
			more.Items[i].Cuts[k].Value *= overlap.Multiple
		}
	}
	tried, ok := oracle.Solve(more, drawn.Most)
	if !ok {
		return nil
	}
	r, err := turned.Solve(agree.Problem(more), terms, rip.Options{})
	if err != nil {
		return err
	}
	if agree.Written(r.Best) != tried.Kinds[0].String() {
		return fmt.Errorf("%s, and trying everything %s", agree.Written(r.Best), tried.Kinds[0])
	}
	if covers(p.Items[:first], r.Best, alone.Best, overlap.Multiple) {
		want, count = but(tried.Kinds[0].String()), &c.both
	}
	*count++
	if g := but(agree.Written(got.Best)); g != want {
		return fmt.Errorf("%d items first:\n got %s\nwant %s", first, agree.Written(got.Best), want)
	}
	if slices.ContainsFunc(got.Best.Pockets, func(k rip.Pocket) bool { return k.Item >= first }) {
		c.served++
	}
	return nil
}

// The plan is the one that trying everything finds best if the first items count their
// multiple, or, if that gives them less than the best plan for them alone, that plan.
// RIPWRIGHT_BRUTE sets how many problems.
func TestBruteForce(t *testing.T) {
	n := drawn.Number(t, 600)
	all := make(chan tally, 1)
	all <- tally{}
	for _, want := range []drawn.Set{0, drawn.Of(drawn.Range, drawn.FarUneven), drawn.Of(drawn.CapLength), drawn.Of(drawn.Crosscut), drawn.Of(drawn.Priced), drawn.Of(drawn.Rerip)} {
		drawn.Some(t, n/6, want, func(x *drawn.Trial) error {
			var one tally
			err := one.differs(x)
			c := <-all
			all <- tally{c.both + one.both, c.alone + one.alone, c.served + one.served, c.unproven + one.unproven}
			return err
		})
	}
	c := <-all
	t.Logf("%+v", c)
	if c.both < n/2 || c.alone < n/100 || c.served < n/8 || c.unproven > n/50 {
		t.Errorf("too few cases of some kinds: %+v", c)
	}
}

// The work that the first search leaves is the other's, and a search that is stopped
// early still gives a plan.
func TestLimits(t *testing.T) {
	p := agree.Problem(drawn.Draw(7, drawn.Of(drawn.FourBlades, drawn.FarUneven)))
	for _, work := range []int64{1, 2, 100, 10_000} {
		r, err := overlap.Solve(p, 1, paced.Terms{}, overlap.Options{Options: rip.Options{Work: work}})
		if err != nil || r.Best == nil {
			t.Fatal(r, err)
		}
		if d := audit.Result(p, audit.Terms{}, r); len(d) > 0 {
			t.Error(work, d)
		}
	}
	polled := 0
	o := overlap.Options{Half: func() bool { polled++; return true }}
	for seed := int64(0); polled == 0 && seed < 500; seed++ {
		p := agree.Problem(drawn.Draw(seed, drawn.Of(drawn.FourBlades, drawn.FarUneven)))
		if r, err := overlap.Solve(p, 1, paced.Terms{}, o); err != nil || len(audit.Result(p, audit.Terms{}, r)) > 0 {
			t.Error(r, err)
		}
	}
	if polled == 0 {
		t.Error("the first search is not asked to leave time")
	}
}

// If values leave no room for the multiple, they are multiplied as far as possible.
func TestGreatValues(t *testing.T) {
	const mm = unit.Millimetre
	p := agree.Problem(drawn.Draw(3, 0))
	p.Items = []order.Item{{ID: "a", Min: 20 * mm, Max: 20 * mm, Value: 1_000_000_000_000}, {ID: "b", Min: 10 * mm, Max: 10 * mm, Value: 1_000_000_000_000}}
	p.Saw.LeastStrip = 5 * mm
	r, err := overlap.Solve(p, 1, paced.Terms{}, overlap.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if d := audit.Result(p, audit.Terms{}, r); len(d) > 0 {
		t.Error(d)
	}
}

// Worked: a board of 2 m by 200 mm has 0.4 m2. 6 m of 50 mm are 0.3 m2, 10 pieces of
// 400 mm by 25 mm 0.1 m2.
func TestNearly(t *testing.T) {
	const mm = unit.Millimetre
	b := &wood.Board{Length: 2000 * mm, Stations: []wood.Station{{X: 0, Far: 200 * mm}, {X: 2000 * mm, Far: 200 * mm}}}
	rail := order.Item{ID: "rail", Min: 50 * mm, Max: 50 * mm, Measure: order.ByLength, Required: 10_000_000, Made: 4_000_000}
	slat := order.Item{ID: "slat", Min: 25 * mm, Max: 25 * mm, Measure: order.ByPieces, PieceLength: 400 * mm, Required: 10}
	strip := order.Item{ID: "strip", Min: 25 * mm, Max: 25 * mm, Measure: order.ByPieces, Required: 2} // 2 m each
	panel := order.Item{ID: "panel", Random: true, Min: 40 * mm, Max: 60 * mm, Measure: order.ByArea, Required: 100_000_000_000}
	cut := order.Item{ID: "cut", Min: 50 * mm, Max: 50 * mm, Cuts: []order.Cut{{Length: 500 * mm, Limited: true, Required: 5, Made: 1}}}
	free := order.Item{ID: "free", Min: 50 * mm, Max: 50 * mm}
	full := rail
	full.Made = full.Required
	for _, c := range []struct {
		items []order.Item
		least int64 // millionths
	}{
		{nil, 0}, {[]order.Item{full}, 0}, {[]order.Item{rail}, 750_000}, {[]order.Item{rail, slat}, 1_000_000}, {[]order.Item{strip}, 250_000},
		{[]order.Item{panel, full}, 250_000}, {[]order.Item{cut}, 250_000},
	} {
		if !overlap.Nearly(c.items, b, c.least) || c.least > 0 && overlap.Nearly(c.items, b, c.least-1) {
			t.Errorf("%+v: not from %d on", c.items, c.least)
		}
	}
	endless := cut
	endless.Cuts = []order.Cut{{Length: 500 * mm}}
	if overlap.Nearly([]order.Item{free}, b, 1e8) || overlap.Nearly([]order.Item{endless}, b, 1e8) {
		t.Error("an item without a limit is nearly full")
	}
}
