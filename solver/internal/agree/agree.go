// Package agree compares the search with trying everything and reports differences. Only
// tests import it.
package agree

import (
	"fmt"
	"math"
	"math/big"
	"reflect"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
)

// solve searches over turns and by the price of time, if the problem has any.
func solve(p *oracle.Problem, o rip.Options) (*rip.Result, error) {
	switch t := terms(p); {
	case len(p.Saw.Turns) > 0:
		return turned.Solve(Problem(p), t, o)
	case p.Price > 0:
		return paced.Solve(Problem(p), t, o)
	}
	return rip.Solve(Problem(p), o)
}

func terms(p *oracle.Problem) paced.Terms { return paced.Terms{Pace: p.Pace, Price: p.Price} }

// Under are options of every search in addition to those drawn for it.
type Under rip.Options

// with gives the options with a limit and a number of runners-up.
func (u Under) with(runnersUp int, work, memory int64) rip.Options {
	o := rip.Options(u)
	o.RunnersUp, o.Work, o.Memory = runnersUp, work, memory
	return o
}

// All is Solved, Checked on a few settings, and Stopped.
func (u Under) All(x *drawn.Trial) error {
	if err := u.Solved(x); err != nil {
		return err
	}
	x.Endless = x.Unproven
	if err := u.Checked(x, 3); err != nil {
		return err
	}
	return u.Stopped(x)
}

// enough is enough steps for a search of nearly every small problem.
const enough = 1_000_000

// Solved checks the search's answer: the whole plan, ties settled, a random number of
// runners-up, each the best of its kind, accounts, bound and proof; and that a second
// search gives the same. A search that does not end within many steps is counted in
// Unproven and checked as by Stopped.
func (u Under) Solved(x *drawn.Trial) error {
	o := u.with(x.Rand.IntN(5), enough, 0)
	if err := SolvedWith(x, o); err != nil {
		return fmt.Errorf("with %d runners-up: %w", o.RunnersUp, err)
	}
	return nil
}

// SolvedWith is Solved with these options alone.
func SolvedWith(x *drawn.Trial, o rip.Options) error {
	got, err := solve(x.Problem, o)
	if err != nil {
		return err
	}
	if got.Proven != (got.EndedBy == rip.NoLimit) {
		return fmt.Errorf("proven %v, ended by %v", got.Proven, got.EndedBy)
	}
	if o.Memory > 0 && got.Memory > o.Memory {
		return fmt.Errorf("%d bytes were held, above the limit %d", got.Memory, o.Memory)
	}
	check := answered
	if !got.Proven {
		x.Unproven++
		check = bounded
	}
	if err := check(x, got, o.RunnersUp); err != nil {
		return err
	}
	again, err := solve(x.Problem, o)
	if err != nil {
		return err
	}
	if !reflect.DeepEqual(again, got) {
		return fmt.Errorf("a second solve differs:\n%+v\n%+v", got, again)
	}
	return nil
}

// bounded checks an answer that need not be the best.
func bounded(x *drawn.Trial, got *rip.Result, runnersUp int) error {
	if n := len(got.RunnersUp); n > runnersUp {
		return fmt.Errorf("%d runners-up", n)
	}
	if most := x.Answer.Kinds[0].Net(); got.Bound.Big().Cmp(most) < 0 {
		return fmt.Errorf("bound %v, below the optimum %v", got.Bound.Big(), most)
	}
	return planned(x, append([]*rip.Plan{got.Best}, got.RunnersUp...), got.Bound.Big())
}

func answered(x *drawn.Trial, got *rip.Result, runnersUp int) error {
	plans := append([]*rip.Plan{got.Best}, got.RunnersUp...)
	if want := min(runnersUp+1, len(x.Answer.Kinds)); len(plans) != want {
		return fmt.Errorf("%d plans, want %d; there are %d kinds", len(plans), want, len(x.Answer.Kinds))
	}
	for i, plan := range plans {
		want := x.Answer.Kinds[i]
		if g, w := Written(plan), want.String(); g != w {
			return fmt.Errorf("plan %d: proven %v\n got %s\nwant %s", i, got.Proven, g, w)
		}
		if err := accounted(x.Problem, plan, want); err != nil {
			return fmt.Errorf("plan %d: %w", i, err)
		}
	}
	if most := x.Answer.Kinds[0].Net(); !got.Proven || got.EndedBy != rip.NoLimit || got.Bound.Big().Cmp(most) != 0 {
		return fmt.Errorf("proven %v, ended by %v, bound %v, worth %v", got.Proven, got.EndedBy, got.Bound.Big(), most)
	}
	return nil
}

// accounted checks that an account adds up, that no part is below 0, and that it equals
// the oracle's. The search rounds parts down between every two stations and the oracle
// adds floating-point numbers, so they may differ slightly.
func accounted(p *oracle.Problem, plan *rip.Plan, want *oracle.Plan) error {
	a, w := &plan.Account, oracle.AccountOf(p, want)
	if a.Strip+a.EndTrim+a.Offcut+a.Edging+a.Kerf != a.Face || a.Strip != plan.StripArea ||
		min(a.Strip, a.EndTrim, a.Offcut, a.Edging, a.Kerf, a.Rerip, a.CrosscutLoss) < 0 {
		return fmt.Errorf("the account does not add up: %+v", *a)
	}
	slack := 4 * float64(len(p.Board.Stations)+len(plan.Blades)+2)
	for _, c := range []struct {
		what string
		got  unit.Area
		want float64
	}{
		{"face", a.Face, w.Face}, {"strip", a.Strip, w.Strip}, {"end trim", a.EndTrim, w.EndTrim},
		{"offcut", a.Offcut, w.Offcut}, {"edging", a.Edging, w.Edging}, {"kerf", a.Kerf, w.Kerf},
	} {
		if math.Abs(float64(c.got)-c.want) > 1e-10*w.Face+slack {
			return fmt.Errorf("%s %d, want %v", c.what, c.got, c.want)
		}
	}
	return nil
}

// Stopped stops a search by a limit of work or memory drawn at random: the plans are
// valid and worth what they state, best first, no two of a kind; the bound is true; a
// plan said to be proven is; and a second search gives the same.
func (u Under) Stopped(x *drawn.Trial) error {
	upTo := func(most float64) int64 { return int64(math.Exp(x.Rand.Float64() * math.Log(most))) }
	o := u.with(x.Rand.IntN(3), upTo(5_000), 0)
	if x.Rand.IntN(3) == 0 {
		o = u.with(o.RunnersUp, enough, upTo(200_000))
	}
	if err := SolvedWith(x, o); err != nil {
		return fmt.Errorf("with %+v: %w", o, err)
	}
	return nil
}

// planned checks plans that need not be the best.
func planned(x *drawn.Trial, plans []*rip.Plan, bound *big.Int) error {
	var before *oracle.Plan
	for i, plan := range plans {
		s := oracle.Setting{Turn: plan.Turn, Skew: int64(plan.Skew), Fence: int64(plan.Fence)}
		for _, a := range plan.Blades {
			s.Pos = append(s.Pos, int64(a))
		}
		if !oracle.Valid(x.Problem, s) {
			return fmt.Errorf("plan %d stands where no plan may: %+v", i, s)
		}
		want := oracle.Assigned(x.Problem, s, Items(plan))
		if want == nil {
			return fmt.Errorf("plan %d has items that do not fit or are too many: %s", i, Written(plan))
		}
		if g, w := Written(plan), want.String(); g != w {
			return fmt.Errorf("plan %d:\n got %s\nwant %s", i, g, w)
		}
		if err := accounted(x.Problem, plan, want); err != nil {
			return fmt.Errorf("plan %d: %w", i, err)
		}
		if want.Net().Cmp(bound) > 0 {
			return fmt.Errorf("plan %d is worth more than the bound %v: %s", i, bound, want)
		}
		if before != nil && !before.Before(want) {
			return fmt.Errorf("plan %d comes before %d", i, i-1)
		}
		for _, other := range plans[:i] {
			if a, b := Items(plan), Items(other); slices.Equal(sorted(a), sorted(b)) {
				return fmt.Errorf("plan %d is of a kind that came before", i)
			}
		}
		before = want
	}
	return nil
}

// Known begins a search with a valid setting drawn at random, as CheckPlan does, half the
// time with few steps: what is proven is the optimum, and no answer comes after the known
// plan.
func (u Under) Known(x *drawn.Trial) error {
	p := Problem(x.Problem)
	c, err := u.check(p, x.Answer.Settings[x.Rand.IntN(len(x.Answer.Settings))].Setting)
	if err != nil {
		return err
	}
	o := u.with(0, enough, 0)
	if x.Rand.IntN(2) == 0 {
		o.Work = 1 + x.Rand.Int64N(2000)
	}
	t := terms(x.Problem)
	from := paced.SolveFrom
	if len(p.Saw.Turns) > 0 {
		from = turned.SolveFrom
	}
	got, err := from(p, t, o, c.Plan)
	if err != nil {
		return err
	}
	if got.Proven {
		return answered(x, got, 0)
	}
	x.Unproven++
	if turned.Net(p, t, got.Best).Cmp(turned.Net(p, t, c.Plan)) < 0 {
		return fmt.Errorf("with %+v: %s was known, but the answer is %s", o, Written(c.Plan), Written(got.Best))
	}
	return bounded(x, got, 0)
}
