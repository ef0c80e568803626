package oracle

import "fmt"

// Search is what a search claims about parts of plans, so that its bounds can be checked
// one by one against trying everything.
type Search interface {
	// Spans gives the blades, first and last, of the parts of which it composes plans, in
	// the order in which it does.
	Spans() [][2]int
	// Aim makes the following calls hold for fences from lo to hi.
	Aim(lo, hi int64)
	// Bounds gives all bounds on the plans with a part. The error says what of the part
	// itself the search underestimates.
	Bounds(*Part) ([]Bound, error)
	// Instead gives those of the parts bounded since Aim that other parts dominate.
	Instead() []Pair
}

// Pair is two parts of which A dominates B: whatever B can become, A can become something
// as good, and, if the fence has only one place, something that comes no later among
// equals. Score and Amounts are those that the search takes A to have: if the fence may
// stand in many places, the best score and the least amounts over them.
type Pair struct {
	A, B    *Part
	Score   Score
	Amounts []int64
}

// Bound is at least the score of all plans with a part, or only their worth.
type Bound struct {
	By        string // what it is derived from
	Score     Score
	OnlyWorth bool
}

// Tally counts how often each bound was checked, and how often it was reached.
type Tally map[string]*struct{ Checked, Reached int }

func (t Tally) count(by string, reached bool) {
	n := t[by]
	if n == nil {
		n = &struct{ Checked, Reached int }{}
		t[by] = n
	}
	n.Checked++
	if reached {
		n.Reached++
	}
}

// Fences is an interval of places for the fence.
type Fences struct{ Lo, Hi int64 }

// Check checks a search's bounds on parts with the fence in each of some intervals.
func Check(p *Problem, s Search, parts []*Part, intervals []Fences, t Tally) error {
	for _, f := range intervals {
		s.Aim(f.Lo, f.Hi)
		for _, part := range parts {
			if part.Fence < f.Lo || part.Fence > f.Hi {
				continue
			}
			all, err := s.Bounds(part)
			if err != nil {
				return fmt.Errorf("%w: %s", err, part.within(f))
			}
			best := part.Best.Score()
			for _, b := range all {
				c := b.Score.Cmp(best)
				if b.OnlyWorth {
					c = money{b.Score.Hi, b.Score.Lo}.more(money{best.Hi, best.Lo})
				}
				if c < 0 {
					return fmt.Errorf("%s: %+v is below %+v: %s", b.By, b.Score, best, part.within(f))
				}
				t.count(b.By, c == 0)
			}
		}
		for _, pair := range s.Instead() {
			if err := instead(p, &pair, f); err != nil {
				return fmt.Errorf("dominance: %w: %s\ninstead of %s", err, pair.A.within(f), pair.B.within(f))
			}
			t.count("dominance", f.Lo == f.Hi && pair.A.Best.Score() == pair.B.Best.Score())
		}
	}
	return nil
}

// instead checks that A dominates B: the continuation of B's best plan must be open to A,
// as far as caps go, and give a plan as good.
func instead(p *Problem, k *Pair, f Fences) error {
	if k.Score.Cmp(k.B.Score) < 0 {
		return fmt.Errorf("%+v is below %+v", k.Score, k.B.Score)
	}
	t := &trial{p: p}
	add := func(item int, amount int64) {
		if item >= 0 {
			t.sum[item], t.largest[item] = t.sum[item]+amount, max(t.largest[item], amount)
		}
	}
	for n, item := range k.A.Items {
		add(item, k.Amounts[n])
	}
	first, end := t.between(k.B.From, k.B.To)
	for n, item := range k.B.Best.Items {
		if n < first || n >= end {
			add(item, k.B.Rest[n])
		}
	}
	for i := range p.Items {
		if t.sum[i] > 0 && t.capped(i) { // a filled item has none
			return fmt.Errorf("the cap of item %d forbids what the other may cut next", i)
		}
	}
	if f.Lo == f.Hi && k.B.Best.less(k.A.Best) {
		return fmt.Errorf("the other has the better plan")
	}
	return nil
}

// within describes a part, for a message.
func (k *Part) within(f Fences) string {
	return fmt.Sprintf("fence %d of %d to %d, blades %d to %d at %d, items %d, amounts %d, %+v; best %v", k.Fence, f.Lo, f.Hi, k.From, k.To,
		k.Pos, k.Items, k.Amounts, k.Score, k.Best)
}
