package rip

import (
	"slices"
)

// collect gives the labels kept at the blade just swept, by position.
func (s *search) collect(j int) layer {
	s.tick(int64(len(s.touched))/4 + 1)
	slices.Sort(s.touched)
	now := s.layers[j%2][:0]
	for _, t := range s.touched {
		s.tick(1)
		for i := s.slots[t]; i != 0; i = s.labels.at(i - 1).next {
			now = append(now, i-1)
		}
	}
	s.layers[j%2] = now
	if s.beam > 0 && len(now) > s.beam {
		now = s.narrow(now)
	}
	if now == nil {
		now = layer{}
	}
	return now
}

// join adds label i to a front of labels that share one future.
func (s *search) join(front layer, i int32) layer {
	l := s.labels.at(i)
	s.tick(int64(len(front)))
	for _, k := range front {
		if s.covers(s.labels.at(k), l) {
			return front
		}
	}
	kept := front[:0]
	for _, k := range front {
		if !s.covers(l, s.labels.at(k)) {
			kept = append(kept, k)
		}
	}
	return append(kept, i)
}

// front keeps, of labels that share one future, those that no other dominates.
func (s *search) front(now layer) layer {
	f := s.ahead[:0]
	for _, i := range now {
		f = s.join(f, i)
	}
	s.ahead = f
	return f
}

// narrow keeps the labels with the best bounds, for a dive; if kinds are kept apart, a
// number of each of the best kinds.
func (s *search) narrow(now layer) layer {
	s.ranked = s.ranked[:0]
	for _, i := range now {
		s.tick(1)
		l := s.labels.at(i)
		v := s.quota.states
		if v > 1 {
			s.tick(int64(len(s.in.wants)) / 64)
			v = s.quota.state(s.in, s.usage(l))
		}
		up := s.promise(l, v)
		if v, ok := s.tolled(l); ok {
			up.Worth = minWorth(up.Worth, s.ceil.worth(v))
		}
		s.rank(ranked{label: i, bound: up})
	}
	now = now[:0]
	for _, r := range s.ranked {
		now = append(now, r.label)
	}
	slices.SortStableFunc(now, func(a, b int32) int { return sign(s.labels.at(a).a - s.labels.at(b).a) })
	return now
}

// rank puts a label among those kept, best first.
func (s *search) rank(r ranked) {
	const kindsEach = 4 // kinds followed for each that is wanted
	k, most := s.labels.at(r.label).kind, s.beam
	if s.kinds {
		most *= kindsEach * s.pool.size
	}
	if len(s.ranked) == most && r.bound.Cmp(&s.ranked[most-1].bound) <= 0 {
		return
	}
	at := len(s.ranked)
	for at > 0 && s.ranked[at-1].bound.Cmp(&r.bound) < 0 {
		at--
	}
	if s.kinds { // the last of its kind is dropped when there are enough
		same, last := 0, -1
		for i := range s.ranked {
			if s.labels.at(s.ranked[i].label).kind == k {
				same, last = same+1, i
			}
		}
		if same == s.beam {
			if last < at {
				return
			}
			s.ranked = slices.Delete(s.ranked, last, last+1)
		}
	}
	if len(s.ranked) == most {
		s.ranked = s.ranked[:most-1]
	}
	s.ranked = slices.Insert(s.ranked, at, r)
}

// ranked is a label with the best that can come of it.
type ranked struct {
	label int32
	bound score
}
