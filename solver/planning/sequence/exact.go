package sequence

// maxLabels bounds the memory of an exact search to some tens of megabytes; due
// times that quarrel make many labels.
const maxLabels = 1_000_000

// exact goes over all sets of orders from small to large, and leaves out what
// cannot become better than known, a sequence that is there already. It gives nil
// if nothing is better, and reports false if it was stopped or grew too large.
func (t *table) exact(known label) (better []int, whole bool) {
	n := len(t.p.Orders)
	full := 1<<n - 1
	least := newFloor(t)
	all := []label{{state: int32(t.start()), from: -1}}
	fronts := make([][]front, full+1) // by set, then by state
	extend := func(set int, i int32) {
		for o := range n {
			if set>>o&1 == 1 {
				continue
			}
			next := set | 1<<o
			for _, s := range t.of[o] {
				l := t.after(all, i, s)
				if end := least.end(next, l); !end.less(&known) {
					continue
				}
				if fronts[next] == nil {
					fronts[next] = make([]front, len(t.states))
				}
				f := &fronts[next][s]
				if covered(all, *f, &l) {
					continue
				}
				all = append(all, l)
				*f = f.add(all, int32(len(all)-1))
			}
		}
	}
	extend(0, 0)
	for set := 1; set < full; set++ {
		if len(all) > maxLabels || t.over() {
			return nil, false
		}
		for _, f := range fronts[set] {
			for _, i := range f {
				extend(set, i)
			}
		}
		fronts[set] = nil
	}
	best := int32(-1)
	for _, f := range fronts[full] {
		for _, i := range f {
			if best < 0 || all[i].less(&all[best]) {
				best = i
			}
		}
	}
	if best < 0 {
		return nil, true
	}
	return trace(all, best), true
}

func covered(all []label, f front, l *label) bool {
	for _, j := range f {
		if all[j].covers(l) {
			return true
		}
	}
	return false
}
