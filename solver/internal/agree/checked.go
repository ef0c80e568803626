package agree

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
)

// CheckedAll is Checked on every valid setting.
func (u Under) CheckedAll(x *drawn.Trial) error { return u.Checked(x, len(x.Answer.Settings)) }

// Checked checks a number of valid settings, drawn at random, and the best, or all if
// there are no more. Each gets the best assignment of items, and none is worth more than
// the optimum.
func (u Under) Checked(x *drawn.Trial, settings int) error {
	p, all := Problem(x.Problem), x.Answer.Settings
	if settings < len(all) {
		some := make([]*oracle.Plan, settings)
		for i := range some {
			some[i] = all[x.Rand.IntN(len(all))]
		}
		all = some
	}
	for _, want := range append(slices.Clone(all), x.Answer.Kinds[0]) {
		got, err := u.check(p, want.Setting)
		if err != nil {
			return err
		}
		if len(got.Broken) > 0 {
			return fmt.Errorf("%v is valid, and breaks a rule: %v", want.Setting, got.Broken)
		}
		if err := assigned(x.Problem, got.Plan, want); err != nil {
			return err
		}
		if x.Problem.Price == 0 && len(x.Problem.Saw.Turns) == 0 && got.Plan.Worth.Big().Cmp(x.Answer.Kinds[0].Worth()) > 0 {
			return fmt.Errorf("%v is worth %v, more than the optimum", want.Setting, got.Plan.Worth.Big())
		}
	}
	return u.strays(x, all)
}

// strays checks settings that are slightly off what the saw allows.
func (u Under) strays(x *drawn.Trial, all []*oracle.Plan) error {
	for range 2 {
		s := all[x.Rand.IntN(len(all))].Setting
		s.Pos = slices.Clone(s.Pos)
		off := x.Rand.Int64N(2*int64(x.Problem.Saw.Step)) - int64(x.Problem.Saw.Step)
		if j := x.Rand.IntN(len(s.Pos) + 1); j == len(s.Pos) {
			s.Fence += off
		} else if s.Pos[j] += off; !slices.IsSorted(s.Pos) {
			continue
		}
		got, err := u.check(Problem(x.Problem), s)
		if err != nil {
			return err
		}
		if valid := oracle.Valid(x.Problem, s); valid != (len(got.Broken) == 0) {
			return fmt.Errorf("%v: valid %v, broken: %v", s, valid, got.Broken)
		}
		if err := assigned(x.Problem, got.Plan, oracle.At(x.Problem, s)); err != nil {
			return err
		}
	}
	return nil
}

func assigned(p *oracle.Problem, got *rip.Plan, want *oracle.Plan) error {
	if g, w := Written(got), want.String(); g != w {
		return fmt.Errorf("checked:\n got %s\nwant %s", g, w)
	}
	return accounted(p, got, want)
}

func (u Under) check(p *rip.Problem, s oracle.Setting) (*rip.Checked, error) {
	var blades []unit.Length
	for _, a := range s.Pos {
		blades = append(blades, unit.Length(a))
	}
	return turned.Check(p, s.Turn, unit.Length(s.Skew), unit.Length(s.Fence), blades, rip.Options(u))
}
