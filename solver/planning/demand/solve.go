package demand

import "github.com/ripwright/ripwright/solver/rip"

// soonWork is how much work most boards take, ties settled.
const soonWork = 5_000

// Solve is rip.Solve for planning, where it does not matter which of the ways to
// rip a board that are worth most is the first among them: that may be long to
// prove, above all where a board gives nothing. Once it takes long, a plan that is
// worth as much as its bound will do. It is looked for with ever more work.
func Solve(p *rip.Problem, o rip.Options) (*rip.Result, error) {
	if r, ok := even(p, o); ok {
		return r, nil
	}
	before := int64(0)
	for work := int64(soonWork); ; work *= 4 {
		part := o
		if o.Work == 0 || o.Work > work {
			part.Work = work
		}
		r, err := rip.Solve(p, part)
		if err != nil {
			return nil, err
		}
		r.Work += before
		if r.EndedBy != rip.WorkLimit || r.Bound == r.Best.Worth || part.Work == o.Work {
			return r, nil
		}
		before = r.Work
	}
}
