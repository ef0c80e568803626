package arbor

import (
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Solve finds settings. The error is a fault.List.
func Solve(p *Problem, o Options) (*Result, error) {
	if l := p.Faults(); len(l) > 0 {
		return nil, l
	}
	c := newScorer(p, &o, p.Saw, o.Suggestions)
	r := &Result{}
	today := c.score(fixed(&p.Saw))
	if today == nil {
		r.Stopped = true
		return r, nil
	}
	// Today's setting may lie off the spacers: it is compared with, not ranked.
	clear(c.known)
	c.top, c.tried = nil, 0
	today.against(today, p, o.Level)
	r.Today = *today
	found, all := c.search(today.Fixed)
	r.Tried, r.All = c.tried, all
	for _, s := range found {
		s.against(today, p, o.Level)
		r.Best = append(r.Best, *s)
	}
	r.FixedOnly = gang(p, &o, today)
	if len(r.Best) > 0 {
		r.MoreMoving = further(p, &o, today, r.Best[0].Fixed)
	}
	r.Stopped = c.stopped()
	return r, nil
}

// gang is the old way: as many blades, all of them fixed.
func gang(p *Problem, o *Options, today *Scored) *Scored {
	if o.Stop != nil && o.Stop() {
		return nil
	}
	s := p.Saw
	var at []unit.Length
	s.Blades = nil
	for _, b := range p.Saw.Blades {
		a := b.At
		if b.Moving {
			a = b.Travel.Current
		}
		at = append(at, a)
		s.Blades = append(s.Blades, saw.Blade{At: a})
	}
	if p.Spacers.positions() < len(at) {
		return nil
	}
	c := newScorer(p, o, s, 1)
	found, _ := c.search(at)
	if len(found) == 0 {
		return nil
	}
	found[0].against(today, p, o.Level)
	return found[0]
}

// further is a setting with one more moving blade, inside or outside of all
// others, which can stand wherever the others leave room.
func further(p *Problem, o *Options, today *Scored, at []unit.Length) (best *Scored) {
	if o.Stop != nil && o.Stop() {
		return nil
	}
	lo, hi := p.Spacers.Min, p.Spacers.Max
	for _, b := range p.Saw.Blades {
		if b.Moving {
			lo, hi = min(lo, b.Travel.Min), max(hi, b.Travel.Max)
		}
	}
	more := saw.Blade{Moving: true, Travel: saw.Travel{Min: lo, Max: hi, Current: lo}}
	inside, outside := p.Saw, p.Saw
	inside.Blades = append([]saw.Blade{more}, p.Saw.Blades...)
	outside.Blades = append(append([]saw.Blade{}, p.Saw.Blades...), more)
	for _, s := range []saw.Saw{inside, outside} {
		if got := newScorer(p, o, s, 1).score(at); got != nil && (best == nil || got.exact.Cmp(best.exact) > 0) {
			best = got
		}
	}
	if best != nil {
		best.against(today, p, o.Level)
	}
	return best
}
