package rip

import (
	"errors"
	"fmt"
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/unit"
)

// Probe shows the bounds of the search by intervals of fences on parts of plans.
type Probe struct {
	s      *search
	r      *rand.Rand
	probed []probed
}

// probed is a part with its label, and the least that its strips use up.
type probed struct {
	part    *oracle.Part
	label   label
	amounts []int64
}

// NewProbe gives a search with all its bounds, without plans.
func NewProbe(p *Problem, o Options, skew unit.Length, seed uint64) (*Probe, error) {
	work := budget.New(budget.Limits{})
	ready, faults := prepare(p, work, true, nil)
	if len(faults) > 0 {
		return nil, faults
	}
	ready.tests = o.tests
	in := ready.at(skew)
	// With runners-up, so that labels of different items are kept apart.
	s := newSearch(in, 1, work)
	s.prepare()
	if !s.takeTolls() {
		return nil, errors.New("stopped")
	}
	if tail := s.tail(); tail >= 0 {
		s.tails = s.tables(tail)
	}
	if s.anchored && s.anchor > 0 {
		s.heads = s.leftTables(s.anchor - 1)
	}
	return &Probe{s: s, r: rand.New(rand.NewPCG(seed, 9))}, nil
}

// Release ends it.
func (b *Probe) Release() { b.s.release() }

// Spans are those of labels: from the anchor out to the last blade, then back to
// the first.
func (b *Probe) Spans() (all [][2]int) {
	last := len(b.s.in.blades) - 1
	for j := b.s.anchor; j <= last; j++ {
		all = append(all, [2]int{b.s.anchor, j})
	}
	for j := b.s.anchor - 1; j >= 0; j-- {
		all = append(all, [2]int{j, last})
	}
	return all
}

// Aim aims at an interval of fences.
func (b *Probe) Aim(lo, hi int64) {
	s := b.s
	s.aim(fences{lo, hi}, nil, nil)
	s.labels.n, b.probed = 0, nil
	s.usages.back(arenaMark{})
	clear(s.usages.add(s))
}

// frame gives where the part's blade j stands in the frame of the sweep.
func (b *Probe) frame(k *oracle.Part, j int) int64 {
	a := k.Pos[j-k.From]
	if !b.s.anchored {
		a -= k.Fence
	}
	return a
}

// want gives the search's number of an item.
func (b *Probe) want(item int) (int16, *want, error) {
	if item < 0 {
		return noWant, nil, nil
	}
	for i := range b.s.in.wants {
		if w := &b.s.in.wants[i]; w.item == item {
			return int16(i), w, nil
		}
	}
	return noWant, nil, fmt.Errorf("item %d can be cut, and is left out", item)
}

// replay makes the search put a part together.
func (b *Probe) replay(k *oracle.Part) (probed, error) {
	s := b.s
	out := probed{part: k, amounts: make([]int64, len(k.Items))}
	at, edge := int32(-1), 0
	if s.in.straight && k.From == 0 {
		edge = 1
	}
	step := func(j int, a int64, item int, left, right int64, n int) error {
		i, w, err := b.want(item)
		if err != nil {
			return err
		}
		st := strip{score: score{Worth: s.rerip(left, right)}}
		if n < 0 {
			st = strip{}
		} else if w != nil {
			var ok bool
			if st, ok = s.strip(w, left, right); !ok {
				return fmt.Errorf("item %d can be cut from %d to %d, and is not", item, left, right)
			}
			out.amounts[n] = st.amount
		}
		beside := int16(noWant)
		if j == 0 && edge > 0 {
			if beside, w, err = b.want(k.Items[0]); err != nil {
				return err
			} else if w != nil {
				e, ok := s.strip(w, fenceFace, a)
				if !ok {
					return fmt.Errorf("item %d can be cut from the edge to %d, and is not", k.Items[0], a)
				}
				out.amounts[0] = e.amount
			}
		}
		s.open(j) // nothing for which it could be dropped
		n = s.labels.n
		s.arrive(j, a, at, i, st)
		for at = int32(n); int(at) < s.labels.n; at++ {
			if s.labels.at(at).edge == beside {
				return nil
			}
		}
		return fmt.Errorf("a label at blade %d is dropped", j)
	}
	kerf := s.in.kerf
	s.pending = true
	if err := step(s.anchor, b.frame(k, s.anchor), -1, 0, 0, -1); err != nil {
		return out, err
	}
	for j := s.anchor + 1; j <= k.To; j++ {
		n := j - 1 - k.From + edge
		if err := step(j, b.frame(k, j), k.Items[n], b.frame(k, j-1)+kerf, b.frame(k, j), n); err != nil {
			return out, err
		}
	}
	s.pending = s.anchor > k.From
	for j := s.anchor - 1; j >= k.From; j-- {
		s.pending = false
		n := j - k.From + edge
		if err := step(j, b.frame(k, j), k.Items[n], b.frame(k, j)+kerf, b.frame(k, j+1), n); err != nil {
			return out, err
		}
	}
	s.pending = k.From == s.anchor && s.anchor > 0
	out.label = *s.labels.at(at)
	return out, nil
}

// exactly gives the label of the part itself, wherever else the fence may stand.
func (b *Probe) exactly(k *oracle.Part, l label) label {
	s := b.s
	l.score, l.paid, l.used = scoreIn(k.Score), 0, int32(s.usages.of.n)
	used := s.usages.add(s)
	clear(used)
	for n, item := range k.Items {
		if _, w, _ := b.want(item); w != nil {
			l.paid += s.pays(w, k.Amounts[n])
			if w.cap >= 0 {
				used[w.cap] = used[w.cap].with(k.Amounts[n])
			}
		}
	}
	return l
}

func scoreIn(s oracle.Score) score {
	return score{Worth: worth{Hi: s.Hi, Lo: s.Lo}, Dev: s.Dev, Area: s.Area, Blades: s.Blades, Travel: s.Travel}
}

func scoreOut(s score) oracle.Score {
	return oracle.Score{Hi: s.Worth.Hi, Lo: s.Worth.Lo, Dev: s.Dev, Area: s.Area, Blades: s.Blades, Travel: s.Travel}
}

// Instead gives pairs of labels of which the first dominates the second.
func (b *Probe) Instead() (all []oracle.Pair) {
	s := b.s
	type place struct {
		from, to int
		a        int64
	}
	at := map[place][]*probed{}
	for i := range b.probed {
		k := &b.probed[i]
		p := place{k.part.From, k.part.To, k.label.a}
		at[p] = append(at[p], k)
	}
	const most = 20 // of a place, for pairs
	for i := range b.probed {
		k := &b.probed[i]
		same := at[place{k.part.From, k.part.To, k.label.a}]
		for range min(most, len(same)) {
			o := same[b.r.IntN(len(same))]
			x, y := o.label, k.label
			x.kind, y.kind = kind{}, kind{} // as if no runners-up were wanted
			if o != k && s.covers(&x, &y) {
				all = append(all, oracle.Pair{A: o.part, B: k.part, Score: scoreOut(o.label.score), Amounts: o.amounts})
			}
		}
	}
	return all
}
