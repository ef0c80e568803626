package sequence

import "slices"

// maxLabels limits the memory of an exact search to some tens of megabytes; conflicting
// due times make many labels.
const maxLabels = 1_000_000

// labels is a list that grows by pages: no label is moved, since copying a million takes
// longer than a search may run without polling.
type labels struct {
	pages [][]label
	n     int32
}

// The number of labels in a page.
const (
	pageBits = 10
	pageLen  = 1 << pageBits
)

func (l *labels) at(i int32) *label { return &l.pages[uint32(i)>>pageBits][i&(pageLen-1)] }

// add appends a label and gives its index.
func (l *labels) add(v label) int32 {
	if int(l.n>>pageBits) == len(l.pages) {
		l.pages = append(l.pages, make([]label, pageLen))
	}
	l.n++
	*l.at(l.n - 1) = v
	return l.n - 1
}

// exact builds up all sets of orders from small to large, and prunes what cannot become
// better than known, a sequence found before. It gives nil if nothing is better, and
// reports false if it was stopped or grew too large.
func (t *table) exact(known label) (better []int, whole bool) {
	n := len(t.p.Orders)
	full := 1<<n - 1
	least := newFloor(t)
	all := &labels{}
	all.add(label{state: int32(t.start()), from: -1})
	fronts := make([][]front, full+1) // by set, then by state
	extend := func(set int, i int32) (work int64) {
		for o := range n {
			if set>>o&1 == 1 {
				continue
			}
			next := set | 1<<o
			for _, s := range t.of[o] {
				work++
				l := t.after(all.at(i), i, s)
				if end := least.end(next, l); !end.less(&known) {
					continue
				}
				if fronts[next] == nil {
					fronts[next] = make([]front, len(t.states))
				}
				f := &fronts[next][s]
				work += int64(len(*f) / 16)
				if covered(all, *f, &l) {
					continue
				}
				*f = append(slices.DeleteFunc(*f, func(j int32) bool { return l.covers(all.at(j)) }), all.add(l))
			}
		}
		return work
	}
	extend(0, 0)
	for set := 1; set < full; set++ {
		for _, f := range fronts[set] {
			for _, i := range f {
				if t.spend(extend(set, i)) || all.n > maxLabels {
					return nil, false
				}
			}
		}
		fronts[set] = nil
	}
	best := int32(-1)
	for _, f := range fronts[full] {
		for _, i := range f {
			if best < 0 || all.at(i).less(all.at(best)) {
				best = i
			}
		}
	}
	if best < 0 {
		return nil, true
	}
	return trace(all.at, best), true
}

func covered(all *labels, f front, l *label) bool {
	for _, j := range f {
		if all.at(j).covers(l) {
			return true
		}
	}
	return false
}
