package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// standing gives the current position of everything that moves, the fence first.
func standing(s *saw.Saw) []unit.Length {
	all := []unit.Length{s.Fence.Current}
	for _, b := range s.Blades {
		if b.Moving {
			all = append(all, b.Travel.Current)
		} else {
			all = append(all, b.At)
		}
	}
	return all
}

// going gives the planned positions, in the same order.
func going(p *rip.Plan) []unit.Length { return append([]unit.Length{p.Fence}, p.Blades...) }

// Stands sets the saw's positions as measured.
func (j *Job) Stands(s *Stand) {
	j.Place(s.At)
	j.lies = s.lies
}

// Place sets fence and moving blades to where the board before left them. Positions of
// another saw are ignored.
func (j *Job) Place(at []unit.Length) {
	s := &j.Problem.Saw
	if len(at) != 1+len(s.Blades) {
		return
	}
	j.lies = nil
	within := func(t *saw.Travel, a unit.Length) {
		if a >= t.Min && a <= t.Max {
			t.Current = a
		}
	}
	within(&s.Fence, at[0])
	for i := range s.Blades {
		if b := &s.Blades[i]; b.Moving {
			within(&b.Travel, at[i+1])
		}
	}
}

func (j *Job) cycleOf(p *rip.Plan) (run.Cycle, bool) {
	return j.Pace.Cycle(j.Problem.Board.Length, run.Move(standing(&j.Problem.Saw), going(p)))
}

var cycleLimits = map[run.Limit]ripwrightv1.CycleLimit{
	run.ByFeed:        ripwrightv1.CycleLimit_CYCLE_LIMIT_FEED,
	run.ByPositioning: ripwrightv1.CycleLimit_CYCLE_LIMIT_POSITIONING,
	run.ByHandling:    ripwrightv1.CycleLimit_CYCLE_LIMIT_HANDLING,
}

// cycle gives nil if the saw's feed is unknown.
func (j *Job) cycle(p *rip.Plan) *ripwrightv1.Cycle {
	c, ok := j.cycleOf(p)
	if !ok {
		return nil
	}
	t := j.terms()
	return &ripwrightv1.Cycle{
		FeedS: c.Feed.Seconds(), PositioningS: c.Positioning.Seconds(), HandlingS: c.Handling.Seconds(),
		TotalS: c.Total.Seconds(), Limit: cycleLimits[c.Limit], BoardsPerMin: c.PerMinute(),
		Cost: t.Of(c).Money(),
	}
}
