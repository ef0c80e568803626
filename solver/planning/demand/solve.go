package demand

import "github.com/ripwright/ripwright/solver/rip"

// sureWork is how much work it may take to see that a board gives nothing.
const sureWork = 5_000

// Solve is rip.Solve for planning, where it does not matter how a board is ripped
// that gives nothing: which of all such ways is the first among its ties is long
// to prove. Such a result is not proven, but its bound is 0.
func Solve(p *rip.Problem, o rip.Options) (*rip.Result, error) {
	first := o
	if first.Work == 0 || first.Work > sureWork {
		first.Work = sureWork
	}
	r, err := rip.Solve(p, first)
	if err != nil || r.EndedBy != rip.WorkLimit || r.Bound.IsZero() || first.Work == o.Work {
		return r, err
	}
	before := r.Work
	if r, err = rip.Solve(p, o); err == nil {
		r.Work += before
	}
	return r, err
}
