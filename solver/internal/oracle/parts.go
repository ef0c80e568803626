package oracle

import (
	"encoding/binary"
	"slices"
)

// Part is a part of a plan: with the fence at a place, the blades From to To and the
// items of the pockets between them. If the near edge is straight and From is 0, the
// pocket before blade 0 is one of these.
type Part struct {
	Skew, Fence int64
	From, To    int
	Pos         []int64 // of those blades
	Items       []int   // of those pockets, -1 none
	Amounts     []int64 // that they count towards their items' caps
	// Score is that of these blades and pockets, and of what lies on the board's side of
	// its first and its last blade, without the move of the fence.
	Score Score
	// Best is the best plan that it is part of, Rest the amounts of all its pockets.
	Best *Plan
	Rest []int64
}

// Score is what plans and parts of plans are compared by: worth, of which Hi and Lo are
// the halves, in units of 1e-21, then the rest.
type Score struct {
	Hi                        int64
	Lo                        uint64
	Dev, Area, Blades, Travel int64
}

// Score gives the score of a plan.
func (a *Plan) Score() Score { return scoreOf(a.worth, a.Dev, a.Area, a.Blades, a.Travel) }

func scoreOf(w money, dev, area, blades, travel int64) Score {
	return Score{w.hi, w.lo, dev, area, blades, travel}
}

// Cmp is above 0 if a is the better score.
func (a Score) Cmp(b Score) int {
	if c := (money{a.Hi, a.Lo}).more(money{b.Hi, b.Lo}); c != 0 {
		return c
	}
	for _, d := range [4]int64{b.Dev - a.Dev, a.Area - b.Area, b.Blades - a.Blades, b.Travel - a.Travel} {
		if d != 0 {
			return int(d>>62 | 1)
		}
	}
	return 0
}

// Parts gives all parts of valid plans at a skew that have the blades of one of the
// spans, first and last, each with the best plan that it is part of; false if there are
// more than most plans. Time has no price here.
func Parts(p *Problem, skew int64, spans [][2]int, most int) ([]*Part, bool) {
	free := *p
	free.Price = 0
	a := &Answer{Seen: Seen{Items: make([]SeenItem, len(p.Items))}}
	t := &trial{p: &free, most: most, answer: a, kinds: map[uint64]*Plan{}, skew: skew, board: free.lying(skew, &a.Seen)}
	known := map[string]*Part{}
	var all []*Part
	var key []byte
	t.whole = func(at *Plan) {
		for _, s := range spans {
			from, to := s[0], s[1]
			first, end := t.between(from, to)
			key = append(key[:0], byte(from), byte(to))
			key = binary.AppendVarint(key, at.Fence)
			for _, x := range at.Pos[from : to+1] {
				key = binary.AppendVarint(key, x)
			}
			for _, item := range at.Items[first:end] {
				key = append(key, byte(item))
			}
			part := known[string(key)]
			if part == nil {
				part = t.part(at, from, to)
				known[string(key)] = part
				all = append(all, part)
			}
			if part.Best == nil || at.less(part.Best) {
				best := *at
				best.Pos, best.Items = slices.Clone(at.Pos), slices.Clone(at.Items)
				part.Best, part.Rest = &best, t.amounts(0, len(t.items))
			}
		}
	}
	t.all()
	return all, !t.over()
}

// between gives the first of the pockets that belong to a part, and one more than the
// last.
func (t *trial) between(from, to int) (first, end int) {
	if !t.p.Board.StraightNear {
		return from, to
	}
	if from == 0 {
		return 0, to + 1
	}
	return from + 1, to + 1
}

// part gives a part of the plan at hand without the best plan.
func (t *trial) part(at *Plan, from, to int) *Part {
	first, end := t.between(from, to)
	k := &Part{Skew: t.skew, Fence: at.Fence, From: from, To: to, Pos: slices.Clone(at.Pos[from : to+1]),
		Items: slices.Clone(at.Items[first:end]), Amounts: t.amounts(first, end)}
	var w money
	kerf := int64(t.p.Saw.Kerf)
	for j := from; j <= to; j++ {
		if b := &t.p.Saw.Blades[j]; b.Moving {
			k.Score.Travel += abs(at.Pos[j] - int64(b.Travel.Current))
		}
		if y := at.Pos[j] - at.Fence; inWood(&t.board.board, y, y+kerf) {
			k.Score.Blades++
		}
	}
	if from == 0 && !t.p.Board.StraightNear {
		w = w.plus(t.board.again(-1<<50, at.Pos[0]-at.Fence))
	}
	if to == len(at.Pos)-1 {
		w = w.plus(t.board.again(at.Pos[to]-at.Fence+kerf, 1<<50))
	}
	for i := first; i < end; i++ {
		o := t.option(i)
		if o == nil {
			w = w.plus(t.pockets[i].none)
			continue
		}
		w = w.plus(o.worth)
		k.Score.Dev += o.dev
		k.Score.Area += o.area
	}
	k.Score.Hi, k.Score.Lo = w.hi, w.lo
	return k
}

// option gives the option in pocket i of the plan at hand, nil for none.
func (t *trial) option(i int) *option {
	for n := range t.pockets[i].options {
		if o := &t.pockets[i].options[n]; o.item == t.items[i] {
			return o
		}
	}
	return nil
}

// amounts gives what pockets of the plan at hand count towards their items' caps.
func (t *trial) amounts(first, end int) []int64 {
	all := make([]int64, end-first)
	for i := range all {
		if o := t.option(first + i); o != nil {
			all[i] = o.amt
		}
	}
	return all
}
