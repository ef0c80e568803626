package arbor

import (
	"github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Solve finds settings. The error is a fault.List.
func Solve(p *Problem, o Options) (*Result, error) {
	if l := p.Faults(); len(l) > 0 {
		return nil, l
	}
	c := newScorer(p, &o, p.Saw, o.Suggestions)
	few := c.screen()
	r := &Result{Today: Scored{Fixed: c.today}}
	var first *Scored // today's on a few boards
	if few != nil {
		if first = few.score(c.today); first != nil {
			first.against(first, few.p, o.Level)
			r.Today = *first
		}
	}
	today := c.score(c.today)
	if today == nil {
		r.Stopped = true
		return r, nil
	}
	// Today's setting may lie off the spacers: it is compared with, but not ranked.
	c.forget()
	if few != nil {
		few.forget()
	}
	today.against(today, p, o.Level)
	r.Today = *today
	all := c.search(few)
	r.Tried, r.All = c.tried, all
	r.Best = c.gainful(today)
	if few != nil {
		if r.Screened = few.tried; len(r.Best) == 0 && first != nil && c.stopped() {
			r.Best = few.gainful(first)
		}
	}
	if r.FixedOnly = gang(p, &o, today); r.FixedOnly != nil || !c.stopped() {
		at := c.today
		if len(r.Best) > 0 {
			at = r.Best[0].Fixed
		}
		r.MoreMoving = further(p, &o, today, at)
	}
	r.Stopped = c.stopped()
	return r, nil
}

// forget clears all scores.
func (c *scorer) forget() {
	clear(c.known)
	c.top, c.tried, c.solved, c.held = nil, 0, 0, 0
}

// gainful gives the settings worth more than today's.
func (c *scorer) gainful(today *Scored) (all []Scored) {
	for _, s := range c.top {
		if s.exact.Cmp(today.exact) > 0 {
			s.against(today, c.p, c.o.Level)
			all = append(all, *s)
		}
	}
	return all
}

// gang is the best setting of the same number of blades, all fixed.
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
	c.today = at
	c.search(c.screen())
	if len(c.top) == 0 {
		return nil
	}
	c.top[0].Moved = sequence.Moved(today.Fixed, c.top[0].Fixed)
	c.top[0].against(today, p, o.Level)
	return c.top[0]
}

// further is the setting with one more moving blade, inside or outside of all others,
// which can stand wherever they leave room.
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
