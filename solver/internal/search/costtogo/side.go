package costtogo

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
	"github.com/ripwright/ripwright/solver/unit"
)

// Side is the tables of one side; entries are heights, counted outwards.
type Side struct {
	P      *Profile
	Left   bool
	Root   int // the blade before all others: the outermost fixed one; may be beyond all
	Moving int // blades beyond it
	States *resource.States
	// Whole says that the blade before all others is only asked about with the last
	// state: then only the levels of states that strips can leave of it are made.
	Whole bool

	off    int64   // how far the root stands beyond its entry, outwards
	last   int64   // the same of the last blade, if that is fixed
	pairs  []*pair // by blades to come before their strips; none at 0
	top    [2]int  // first and last entry at which the fixed blade can stand
	limits *limits
	levels []level
	face   bool // the near edge is straight and matters to this side
}

// NewSide prepares a side with a number of moving blades.
func NewSide(p *Profile, left bool, moving int) *Side {
	root := len(p.M.Blades) - 1 - moving
	if left {
		root = moving
	}
	return newSide(p, left, root, moving)
}

// newSide prepares the side of a blade. The last of its moving blades may be fixed, on a
// right side.
func newSide(p *Profile, left bool, root, moving int) *Side {
	m := p.M
	s := &Side{P: p, Left: left, Root: root, Moving: moving, top: [2]int{0, p.N - 1}}
	fixed := slices.ContainsFunc(m.Blades, func(b model.Blade) bool { return !b.Moving })
	s.face = m.Board.StraightNear && (fixed || !left)
	if root >= 0 && root < len(m.Blades) {
		if s.off = p.offset(m.Blades[root].Lo); left {
			s.off = (m.Step - s.off) % m.Step
		}
	}
	if last := root + moving; !left && last < len(m.Blades) && !m.Blades[last].Moving {
		s.last = p.offset(m.Blades[last].Lo)
	}
	s.pairs = make([]*pair, moving+1)
	for k := 1; k <= moving; k++ {
		s.pairs[k] = p.pair(left, s.offset(k), s.offset(k-1))
	}
	if s.face {
		for k := range moving + 1 { // measured while memory outlasts tables
			s.faced(k)
		}
	}
	return s
}

// offset gives how far the blade with k to come stands beyond its entry.
func (s *Side) offset(k int) int64 {
	switch k {
	case s.Moving:
		return s.off
	case 0:
		return s.last
	}
	return 0
}

// Apart is the least number of stops between the entries of the blade with k to come and
// the next one.
func (s *Side) Apart(k int) int {
	if k == 0 {
		return s.P.Spread
	}
	return s.pairs[k].apart
}

// Entry gives the entry of the fixed blade at height y, or the last one before it: below
// 0 before the board, from N on beyond it.
func (s *Side) Entry(y int64) int {
	if s.Left {
		return s.P.N - 1 - int(unit.CeilDiv(y-s.P.Base, s.P.M.Step))
	}
	return int(unit.FloorDiv(y-s.P.Base, s.P.M.Step))
}

// Stop gives the height of an entry.
func (s *Side) Stop(e int) int64 {
	if s.Left {
		e = s.P.N - 1 - e
	}
	return s.P.Y(e)
}

// Y gives the height of the blade with k to come at an entry.
func (s *Side) Y(k, e int) int64 {
	if s.Left {
		return s.Stop(e) - s.offset(k)
	}
	return s.Stop(e) + s.offset(k)
}

// Build makes the tables for states. It reports false if the budget ends it or lacks the
// memory.
func (s *Side) Build(t *resource.States) bool {
	s.States = t
	s.levels = make([]level, (s.Moving+1)*t.Count)
	if s.Empty() {
		return true
	}
	asked := s.asked()
	for k := range s.Moving + 1 {
		for st := range t.Count {
			l := &s.levels[k*t.Count+st]
			if asked != nil && !asked[k*t.Count+st] {
				continue
			}
			if k == 0 && st > 0 && !s.Ends() { // without further blades no state matters
				*l = s.levels[0]
				continue
			}
			if !s.build(l, k, st) {
				return false
			}
		}
	}
	s.closeFaces()
	return !s.P.ended()
}

// asked says for each level and state whether it can be asked for; nil: all can.
func (s *Side) asked() []bool {
	q := s.States.Count
	if !s.Whole || q == 1 {
		return nil
	}
	asked := make([]bool, (s.Moving+1)*q)
	asked[s.Moving*q+q-1], asked[0] = true, true // from which others at 0 are copied
	for k := s.Moving; k > 0; k-- {
		s.P.Over(q)
		ask := func(to int) { asked[(k-1)*q+to] = true }
		for st := range q {
			if asked[k*q+st] {
				s.States.Leaves(st, ask)
			}
		}
		if s.Starts() { // a face strip may come first
			s.States.Leaves(q-1, ask)
		}
	}
	return asked
}

// build makes one level.
func (s *Side) build(l *level, k, st int) bool {
	lo, hi := s.window(k)
	n := s.P.N
	blocks := (n + blockLen - 1) / blockLen
	rests := (n+restLen-1)/restLen + 1
	bytes := 8*n + 8*s.facesAsked()
	if k < s.Moving { // the last is only asked for at
		bytes += 8 * (blocks + rests)
	}
	if b := s.P.budget; !b.Fits(int64(bytes)) || !b.Hold(int64(bytes)) || s.P.Over(perStep+hi-lo) {
		return false
	}
	l.lo, l.hi, l.parked = lo, hi, s.parked(k+1)
	l.at = s.P.ints(n)
	if k > 0 {
		s.raise(k, st)
	} else {
		fill(l.at[lo:hi], s.parked(0))
	}
	s.layFaces(k, st, l.at)
	if k < s.Moving {
		l.block, l.rest = s.P.ints(blocks), s.P.ints(rests)
		l.close()
	}
	return !s.P.ended()
}

// Empty reports whether nothing can be cut on this side.
func (s *Side) Empty() bool { return s.Moving == 0 && !s.Ends() }

// At gives the most beyond a blade at an entry with k blades to come and a state; below 0
// if they cannot stand.
func (s *Side) At(k, st, i int) int64 {
	switch {
	case s.Empty():
		return 0
	case i >= s.P.N:
		return s.parked(k)
	case i < s.First() && k == s.Moving:
		return s.before(st, i)
	}
	return s.levels[k*s.States.Count+st].stands(i)
}

// before is At for the fixed blade if it stands before the board: some moving blades may
// stand between it and the board.
func (s *Side) before(st, i int) int64 {
	m := s.Moving
	next := i + s.Apart(m)
	best := max(s.Rest(m-1, st, next), s.faceRest(m-1, st, next))
	if s.limits == nil || next > 0 {
		return best
	}
	for q := 1; q <= m && s.Waits(q); q++ {
		best = max(best, s.Rest(m-1-q, st, 0), s.faceRest(m-1-q, st, 0))
	}
	return best
}

// Peaks calls f with each entry from one on at which At is within Slack of Rest, until f
// reports false or Rest falls by more than Slack, which it does only beyond such an entry.
func (s *Side) Peaks(k, st, i int, f func(e int) bool) {
	l := &s.levels[k*s.States.Count+st]
	var rest [blockLen + 1]int64
	for i = max(i, l.lo); i < l.hi && !s.P.Over(1); {
		b := i / blockLen
		end := min((b+1)*blockLen, l.hi)
		after := l.from(end)
		if top := l.block[b]; top >= 0 && top >= after-s.P.Slack { // Rest never rises
			s.P.Over(4 * (end - i))
			at, rest := l.at[i:end], rest[:end-i+1]
			l.run(rest[:len(at)], i)
			rest[len(at)] = after
			for j, v := range at {
				if v < 0 || v < rest[j]-s.P.Slack {
					continue
				}
				if s.P.Over(4) || !f(i+j) || rest[j+1] < rest[j]-s.P.Slack {
					return
				}
			}
		}
		i = end
	}
}

// Rest gives the most of At over the entries from one on, and beyond the board.
func (s *Side) Rest(k, st, i int) int64 {
	switch {
	case k < 0:
		return 0
	case i >= s.P.N:
		return s.parked(k + 1)
	}
	return s.levels[k*s.States.Count+st].from(i)
}
