package rip

import "slices"

// group sorts a blade's ended nodes into groups.
func (t *network) group(l *stratum) {
	clear(t.byGroup)
	of := t.small.take(len(l.ended))
	g := int32(-1)
	for i, x := range l.ended {
		t.s.tick(1)
		n := t.nodes.at(x)
		if k := (groupKey{n.score, n.used, n.kind}); g < 0 || k != l.groups[g].groupKey {
			var ok bool
			if g, ok = t.byGroup[k]; !ok {
				t.groups++
				t.s.growing.groups.to(t.s.budget, t.groups, 256) // with its place in the map, about
				g = int32(len(l.groups))
				t.byGroup[k] = g
				l.groups = append(l.groups, group{groupKey: k})
			}
		}
		of[i] = g
	}
	t.mostGroups = max(t.mostGroups, len(l.groups))
	size := t.small.take(len(l.groups))
	for _, g := range of {
		size[g]++
	}
	for g := range l.groups {
		l.groups[g].nodes = t.small.take(int(size[g]))[:0]
	}
	for i, x := range l.ended {
		g := &l.groups[of[i]]
		g.nodes = append(g.nodes, x)
	}
}

// final gives the score of a cutting that ends at node x, without travel.
func (t *network) final(x int32) score {
	sc := t.nodes.at(x).score
	sc.Blades += t.trails[t.nodes.at(x).j]
	return sc
}

// goal is the best score of the cuttings of one kind.
type goal struct {
	kind  kind
	score score
	ends  []int32
}

// goals lists the kinds of cuttings, best first. The list lasts until the next one.
func (t *network) goals() []goal {
	clear(t.byKind)
	all := t.found[:0]
	for _, x := range t.ends {
		t.s.tick(1)
		sc, k := t.final(x), t.nodes.at(x).kind
		i, ok := t.byKind[k]
		if !ok {
			i = len(all)
			t.s.growing.goals.to(t.s.budget, i+1, 200) // with its place in the map, about
			t.byKind[k] = i
			all = slices.Grow(all, 1)[:i+1]
			all[i] = goal{kind: k, score: sc, ends: all[i].ends[:0]}
		}
		g := &all[i]
		if c := sc.Cmp(&g.score); c > 0 {
			g.score, g.ends = sc, append(g.ends[:0], x)
		} else if c == 0 {
			g.ends = append(g.ends, x)
		}
	}
	slices.SortStableFunc(all, func(a, b goal) int {
		t.s.tick(1)
		return -a.score.Cmp(&b.score)
	})
	t.found = all
	return all
}
