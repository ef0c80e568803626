package rip

import (
	"errors"
	"fmt"

	"github.com/ripwright/ripwright/solver/internal/oracle"
)

// Bounds puts the part together and bounds what it can become by everything by which the
// sweep bounds labels.
func (b *Probe) Bounds(k *oracle.Part) (all []oracle.Bound, err error) {
	s := b.s
	got, err := b.replay(k)
	if err != nil {
		return nil, err
	}
	taken := scoreOut(got.label.score)
	switch c := taken.Cmp(k.Score); {
	case c < 0 || s.f.single() && c != 0:
		return nil, fmt.Errorf("strips: taken for %+v, is %+v", taken, k.Score)
	}
	for n, a := range got.amounts {
		_, w, _ := b.want(k.Items[n])
		if w != nil && w.cap >= 0 && (a > k.Amounts[n] || s.f.single() && a != k.Amounts[n]) {
			return nil, fmt.Errorf("strips: item %d uses up %d, taken for %d", k.Items[n], k.Amounts[n], a)
		}
	}
	b.probed = append(b.probed, got)
	l := b.exactly(k, got.label)
	add := func(by string, sc score) { all = append(all, oracle.Bound{By: by, Score: scoreOut(sc)}) }
	onlyWorth := func(by string, w worth) {
		all = append(all, oracle.Bound{By: by, Score: scoreOut(score{Worth: w}), OnlyWorth: true})
	}
	if s.pending && k.To == s.anchor || !s.anchored && k.To == k.From {
		sc := s.quick()
		sc.Travel += s.must()
		add("quick", sc)
	}
	v := s.quota.states
	add(b.rests(int(l.j)), s.promise(&l, v))
	if int(l.j) >= s.anchor {
		add(b.rests(int(l.j))+" by state", s.promise(&l, s.quota.state(s.in, s.usage(&l))))
	}
	if v, ok := s.tolled(&l); ok {
		onlyWorth("tolls", s.ceil.worth(v))
	}
	b.spans(&l, add, onlyWorth)
	return all, b.pruned(k, &l)
}

// rests names what bounds a label at blade j.
func (b *Probe) rests(j int) string {
	s := b.s
	last, f := len(s.in.blades)-1, s.nextFixed[j]
	switch {
	case j < s.anchor:
		return "table before"
	case j == last:
		return "row before the anchor"
	case !s.in.blades[j].moving && f == j+1:
		return "row of a pocket between fixed blades"
	case !s.in.blades[j].moving:
		return "row of a pocket beyond a fixed blade"
	case f < 0:
		return "table beyond"
	case f == j+1 && s.in.reripWidth == 0 && !s.in.straight:
		return "row of a pocket before a fixed blade"
	}
	return "width"
}

// spans bounds by blocks of stops that contain the label's own.
func (b *Probe) spans(l *label, add func(string, score), onlyWorth func(string, worth)) {
	s := b.s
	j := int(l.j)
	if !s.in.blades[j].moving {
		return
	}
	from := l.a - b.r.Int64N(2*blockLen)*s.in.step
	to := l.a + b.r.Int64N(2*blockLen)*s.in.step
	sc, w := l.score, l.score.Worth
	switch {
	case j >= s.anchor:
		if s.pending {
			sc.Add(&s.beforeAt()[s.quota.states])
		}
		rest := s.afterSpan(j, from, to, s.quota.state(s.in, s.usage(l)))
		sc.Add(&rest)
		w = w.Add(s.pendingWorth()).Add(s.mostAfter(j, from, to))
	case j > 0:
		rest := s.heads[j].over(from-s.w.hi, to-s.w.lo)
		sc.Add(&rest)
		w = w.Add(s.heads[j].most(from-s.w.hi, to-s.w.lo))
	default:
		return
	}
	sc.Travel += s.fenceTravel
	add(b.rests(j)+" over stops", sc)
	onlyWorth(b.rests(j)+" over blocks", w)
	if v, ok := s.tolledSpan(j, from, to, l.score.Worth, l.paid); ok {
		onlyWorth("tolls over stops", s.ceil.worth(v))
	}
}

// pruned reports whether the label, or the step from it towards the best plan, is pruned
// if a plan is known that is equally good and comes later.
func (b *Probe) pruned(k *oracle.Part, l *label) error {
	s := b.s
	known := &found{score: scoreIn(k.Best.Score()), fence: farOut, in: s.in}
	s.pool.size, s.pool.plans = 1, []*found{known}
	defer func() { s.pool.size, s.pool.plans = 2, nil }()
	if s.short(l) {
		return errors.New("a label is dropped for its worth")
	}
	if up := s.promise(l, s.quota.states); s.pool.outclassed(&up, s.f.lo) {
		return errors.New("a label is dropped for its score")
	}
	i := int32(s.labels.n)
	s.labels.add(s.budget, l, 0)
	j, step, kerf := int(l.j), s.in.step, s.in.kerf
	back := b.r.Int64N(blockLen) * step
	edge := 0
	if s.in.straight {
		edge = 1
	}
	frame := func(j int) int64 {
		if s.anchored {
			return k.Best.Pos[j]
		}
		return k.Best.Pos[j] - k.Best.Fence
	}
	switch last := len(s.in.blades) - 1; {
	case j >= s.anchor && j < last:
		if !s.in.blades[j+1].moving {
			break
		}
		q, item := frame(j+1), k.Best.Items[j+edge]
		if _, w, _ := b.want(item); w != nil && s.hopeless(i, w, j+1, l.a+kerf, max(q-back, l.a+kerf+s.in.gap), q) {
			return fmt.Errorf("item %d is passed over at blade %d", item, j+1)
		}
		if _, dull := s.dull(j+1, q-back, q-back, q, l.score.Worth); dull && item < 0 && s.in.reripWidth == 0 {
			return fmt.Errorf("blade %d is passed over", j+1)
		}
	case j <= s.anchor && j > 0 && k.From < k.To || j == s.anchor && s.anchor == last && j > 0:
		s.pending = false
		q, item := frame(j-1), k.Best.Items[j-1+edge]
		if _, w, _ := b.want(item); w != nil && s.hopelessLeft(i, w, j-1, l.a, q, q+back) {
			return fmt.Errorf("item %d is passed over at blade %d", item, j-1)
		}
		if _, dull := s.dullLeft(j-1, q+back, q, q+back, l.score.Worth); dull && item < 0 && s.in.reripWidth == 0 {
			return fmt.Errorf("blade %d is passed over", j-1)
		}
	}
	return nil
}
