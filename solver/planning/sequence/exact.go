package sequence

// maxLabels bounds the memory of an exact search; due times that quarrel make
// many labels.
const maxLabels = 20_000_000

// exact goes over all sets of orders from small to large. It reports false if it
// was stopped or grew too large.
func (t *table) exact(stop func() bool) ([]int, bool) {
	n := len(t.p.Orders)
	full := 1<<n - 1
	all := []label{{state: int32(t.start()), from: -1}}
	fronts := make([]front, (full+1)*len(t.states))
	at := func(set, s int) *front { return &fronts[set*len(t.states)+s] }
	extend := func(set int, i int32) {
		for o := range n {
			if set>>o&1 == 1 {
				continue
			}
			for _, s := range t.of[o] {
				l := t.after(all, i, s)
				f := at(set|1<<o, s)
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
		if len(all) > maxLabels || stop != nil && stop() {
			return nil, false
		}
		for s := range t.states {
			for _, i := range *at(set, s) {
				extend(set, i)
			}
			*at(set, s) = nil
		}
	}
	best := int32(-1)
	for s := range t.states {
		for _, i := range *at(full, s) {
			if best < 0 || all[i].less(&all[best]) {
				best = i
			}
		}
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
