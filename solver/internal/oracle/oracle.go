package oracle

import (
	"slices"

	"github.com/ripwright/ripwright/solver/saw"
)

// Answer is the result of trying everything.
type Answer struct {
	// Kinds holds the best plan of each multiset of items, best first: the first is
	// the optimum, the others are its runners-up.
	Kinds []*Plan
	// Settings holds the best plan of each valid setting.
	Settings []*Plan
	// Plans counts all plans that were tried.
	Plans int
	Seen  Seen
}

// Seen says what mattered for some plan that was tried.
type Seen struct {
	Items  []SeenItem
	Again  bool // something was fed again
	Beside bool // two items fitted one pocket
	Costs  bool // two settings' cycles cost different amounts
	Off    bool // a blade stood off the wood
}

// SeenItem says what mattered for an item.
type SeenItem struct {
	Fits     bool // a pocket could have it
	Parts    bool // in more than one run
	Short    bool // a run was too short for it
	Refused  bool // a defect took part of a run from it
	Accepted bool // a defect lay in a strip of it
	Capped   bool // its cap forbade an assignment
}

// MaxItems is the most items that Solve takes.
const MaxItems = 16

// Solve tries everything, including the turns that the saw has. It reports false, without
// an answer, if there are more than most plans; 0: no limit.
func Solve(p *Problem, most int) (*Answer, bool) {
	a := &Answer{Seen: Seen{Items: make([]SeenItem, len(p.Items))}}
	kinds := map[uint64]*Plan{}
	for _, turn := range p.turns() {
		q := p.turned(turn)
		t := &trial{p: q, most: most, answer: a, kinds: kinds, turn: turn, turning: p.turning(turn)}
		step := int64(p.Saw.Step)
		for skew := -int64(p.Saw.Skew) / step * step; skew <= int64(p.Saw.Skew); skew += step {
			if skew == 0 || !q.Board.StraightNear {
				t.skew, t.board = skew, q.lying(skew, &a.Seen)
				t.all()
			}
		}
		if t.over() {
			return nil, false
		}
	}
	for _, k := range kinds {
		a.Kinds = append(a.Kinds, k)
	}
	slices.SortFunc(a.Kinds, byRank)
	return a, true
}

// byRank puts the better plan first; no two are equal.
func byRank(a, b *Plan) int {
	if a.less(b) {
		return -1
	}
	return 1
}

// At gives the best plan of one setting, which need not be valid.
func At(p *Problem, s Setting) *Plan {
	a := &Answer{Seen: Seen{Items: make([]SeenItem, len(p.Items))}}
	q := p.turned(s.Turn)
	t := &trial{p: q, answer: a, kinds: map[uint64]*Plan{}, turn: s.Turn, turning: p.turning(s.Turn), skew: s.Skew, board: q.lying(s.Skew, &a.Seen), pos: s.Pos}
	t.setting(s.Fence)
	return a.Settings[0]
}

// Assigned gives the plan of a setting with the given items by pocket, or nil if an item
// does not fit or a cap forbids it.
func Assigned(p *Problem, s Setting, items []int) *Plan {
	a := &Answer{Seen: Seen{Items: make([]SeenItem, len(p.Items))}}
	q := p.turned(s.Turn)
	t := &trial{p: q, answer: a, kinds: map[uint64]*Plan{}, turn: s.Turn, turning: p.turning(s.Turn), skew: s.Skew, board: q.lying(s.Skew, &a.Seen), pos: s.Pos, only: items}
	if t.setting(s.Fence); a.Plans == 0 {
		return nil
	}
	return a.Settings[0]
}

// Valid reports whether a setting breaks no rule of the saw.
func Valid(p *Problem, s Setting) bool {
	stop := func(a int64, t saw.Travel) bool {
		return a%int64(p.Saw.Step) == 0 && a >= int64(t.Min) && a <= int64(t.Max)
	}
	if !slices.Contains(p.turns(), s.Turn) {
		return false
	}
	if abs(s.Skew) > int64(p.Saw.Skew) || s.Skew%int64(p.Saw.Step) != 0 || s.Skew != 0 && p.Board.StraightNear || !stop(s.Fence, p.Saw.Fence) {
		return false
	}
	for j, b := range p.Saw.Blades {
		if b.Moving && !stop(s.Pos[j], b.Travel) || !b.Moving && s.Pos[j] != int64(b.At) {
			return false
		}
		if j > 0 && s.Pos[j]-s.Pos[j-1]-int64(p.Saw.Kerf) < int64(p.Saw.Gap) {
			return false
		}
	}
	return true
}
