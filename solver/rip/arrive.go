package rip

import (
	"unsafe"
)

// open clears the slots for the positions of blade j.
func (s *search) open(j int) {
	b := s.window(j)
	n := 1
	if b.moving {
		n = int((b.hi-b.lo)/s.in.step) + 1
	}
	s.growing.slots.to(s.budget, n, unsafe.Sizeof(s.slots[0]))
	if cap(s.slots) < n {
		s.slots = make([]int32, n)
		s.touched = s.touched[:0]
	} else {
		for _, t := range s.touched {
			s.slots[t] = 0
		}
		s.slots = s.slots[:n]
	}
	s.touched = s.touched[:0]
}

// arrive brings label prev to blade j at a, with want item in the pocket between. At
// blade 0 what lies before it is scored too.
func (s *search) arrive(j int, a int64, prev int32, item int16, st strip) {
	if !s.spend(1) {
		return
	}
	l := label{a: a, prev: prev, j: int16(j), item: item, edge: noWant, score: s.stand(j, a)}
	l.score.Add(&st.score)
	used := int32(0)
	if prev >= 0 {
		p := s.labels.at(prev)
		l.score.Add(&p.score)
		l.kind, used, l.paid = p.kind, p.used, p.paid
	}
	var w *want
	if item != noWant {
		w = &s.in.wants[item]
		l.kind = s.marked(l.kind, w)
		l.paid += s.pays(w, st.amount)
	}
	if j == len(s.in.blades)-1 {
		l.score.Worth = l.score.Worth.Add(s.rerip(a+s.in.kerf, farOut))
	}
	if j > 0 {
		s.keep(&l, used, w, st.amount, nil, 0)
		return
	}
	base := l
	l.score.Worth = l.score.Worth.Add(s.rerip(fenceFace, a))
	s.keep(&l, used, w, st.amount, nil, 0)
	if !s.in.straight {
		return
	}
	for k := range s.in.wants {
		v := &s.in.wants[k]
		if e, ok := s.strip(v, fenceFace, a); ok {
			l = base
			l.edge = int16(k)
			l.score = l.score.Plus(e.score)
			l.paid += s.pays(v, e.amount)
			l.kind = s.marked(l.kind, v)
			s.keep(&l, used, w, st.amount, v, e.amount)
		}
	}
}

func (s *search) marked(k kind, w *want) kind {
	if !s.kinds {
		return k
	}
	return k.with(w.item)
}

// keep puts a label in its slot unless its bound falls short, a cap forbids it or another
// label dominates it.
func (s *search) keep(l *label, used int32, w *want, amount int64, edge *want, edgeAmount int64) {
	j := int(l.j)
	if s.pool.full() {
		if s.short(l) {
			return
		}
		if v, ok := s.tolled(l); ok && v < s.ceil.down(s.pool.least()) {
			return
		}
		up := s.promise(l, s.quota.states)
		if s.pool.outclassed(&up, s.f.lo) || s.barred(l.kind, &up) {
			return
		}
	}
	before := s.usages.mark()
	at, ok := s.use(used, w, amount)
	if ok {
		at, ok = s.use(at, edge, edgeAmount)
	}
	if !ok {
		s.usages.back(before)
		return
	}
	l.used = at
	if s.quota.states > 1 && s.pool.full() && j >= s.anchor {
		s.tick(int64(len(s.in.wants)) / 64)
		if up := s.promise(l, s.quota.state(s.in, s.usage(l))); s.pool.outclassed(&up, s.f.lo) {
			s.usages.back(before)
			return
		}
	}
	slot := 0
	if b := s.window(j); b.moving {
		slot = int((l.a - b.lo) / s.in.step)
	}
	// Labels are numbered from 1 in the slots; 0 is an empty one.
	link := &s.slots[slot]
	if *link == 0 {
		s.touched = append(s.touched, int32(slot))
	}
	for i := *link; i != 0; i = s.labels.at(i - 1).next {
		if !s.spend(1) {
			s.usages.back(before)
			return
		}
		if s.covers(s.labels.at(i-1), l) {
			s.usages.back(before)
			return
		}
	}
	for *link != 0 {
		s.tick(1)
		old := s.labels.at(*link - 1)
		if s.covers(l, old) {
			*link = old.next
			continue
		}
		link = &old.next
	}
	// With its possible places in layers and among the slots touched.
	l.next = 0
	s.labels.add(s.budget, l, 6*unsafe.Sizeof(l.prev))
	id := int32(s.labels.n)
	if s.slots[slot] == 0 {
		s.slots[slot] = id
		return
	}
	i := s.slots[slot]
	for s.labels.at(i-1).next != 0 {
		s.poll(int(i))
		i = s.labels.at(i - 1).next
	}
	s.labels.at(i - 1).next = id
}

// short reports whether a label cannot be worth enough, if that can be found quickly.
func (s *search) short(l *label) bool {
	j := int(l.j)
	most := l.score.Worth.Add(s.pendingWorth())
	switch {
	case j < s.anchor && j > 0:
		most = most.Add(s.heads[j].most(l.a-s.w.hi, l.a-s.w.lo))
	case j > s.anchor && s.nextFixed[j] < 0:
		most = most.Add(s.mostAfter(j, l.a, l.a))
	default:
		return false
	}
	return most.Cmp(s.pool.least()) < 0
}

// promise bounds what a label can become, with quota state v left.
func (s *search) promise(l *label, v int) score {
	j := int(l.j)
	up := l.score
	if s.pending {
		up.Add(&s.beforeAt()[v])
	}
	var rest score
	if j >= s.anchor {
		rest = s.after(j, l.a, v)
	} else {
		rest = s.beforeBlade(j, l.a)
	}
	up.Add(&rest)
	up.Travel += s.fenceTravel + s.further[j]
	return up
}
