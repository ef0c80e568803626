package values

import (
	"cmp"
	"slices"
)

const (
	// draftLater is what a row due later counts in a term, as a fraction.
	draftLater = 0.5
	// draftBetter is what a policy may cost of the best one for a row alone to take its
	// place: one for each small gain would be many.
	draftBetter = 0.7
)

// take adds a policy's boards.
func (d *draft) take(p *policy, boards float64) {
	d.uses = append(d.uses, use{p, boards})
	d.boards[p.lot] += boards
	d.cost += boards * d.s.costs(p)
	for k, left := range d.left {
		if d.left[k] = left - boards*d.s.makes(p, k); d.left[k] < left*draftNone {
			d.left[k] = 0
		}
	}
}

// complete fills what is left of rows in the term by the policies known, and ends it.
func (d *draft) complete() {
	for _, p := range d.savers() {
		if boards := d.most(p.lot, d.pays(p)); boards > 0 {
			d.take(p, boards)
		}
	}
	for k, left := range d.left {
		if i := d.s.pl.best[k]; left > 0 && i >= 0 && !d.later(k) {
			p := d.s.pl.pool[i]
			d.take(p, left/d.s.makes(p, k))
			d.left[k] = 0
		}
	}
	d.end()
}

// end ends the term.
func (d *draft) end() {
	d.full = true
	for g, boards := range d.boards {
		d.full = d.full && d.s.pl.p.Lots[g].has(boards)
	}
	if d.term < len(d.terms.ends) {
		d.ends = append(d.ends, d.total())
	}
}

// total is the number of boards of all lots.
func (d *draft) total() (all float64) {
	for _, boards := range d.boards {
		all += boards
	}
	return all
}

// savers are the policies for several rows, those first whose boards save most against a
// policy for each row alone.
func (d *draft) savers() (all []*policy) {
	saves := map[*policy]float64{}
	for _, p := range d.s.pl.pool {
		if p.alone < 0 {
			for k := range d.left {
				saves[p] += d.saved(p, k) / d.s.costs(p)
			}
			if saves[p] > 1 {
				all = append(all, p)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b *policy) int { return cmp.Compare(saves[b], saves[a]) })
	return all
}

// pays is the number of a policy's boards of which each saves more than it costs, as long
// as it makes something of the term's rows.
func (d *draft) pays(p *policy) (boards float64) {
	var rows []int
	saved, now := 0.0, 0
	for k := range d.left {
		if s := d.saved(p, k); s > 0 {
			rows = append(rows, k)
			saved += s
			if !d.later(k) {
				now++
			}
		}
	}
	fill := func(k int) float64 { return d.left[k] / d.s.makes(p, k) }
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(fill(a), fill(b)) })
	for _, k := range rows {
		if saved <= d.s.costs(p) || now == 0 {
			break
		}
		boards = fill(k)
		saved -= d.saved(p, k)
		if !d.later(k) {
			now--
		}
	}
	return boards
}

// saved is what a policy's board makes of a row costs alone; 0 if nothing is left of it.
func (d *draft) saved(p *policy, k int) float64 {
	if d.left[k] <= 0 || d.s.pl.best[k] < 0 {
		return 0
	}
	saved := d.s.makes(p, k) * d.costs(k)
	if d.later(k) {
		saved *= draftLater
	}
	return saved
}

// costs is what a unit of a row costs by the best policy for it alone.
func (d *draft) costs(k int) float64 {
	alone := d.s.pl.pool[d.s.pl.best[k]]
	return d.s.costs(alone) / d.s.makes(alone, k)
}

// betters reports whether a policy fills a row for far less than the best one for it alone.
func (d *draft) betters(k int, p *policy) bool {
	return d.s.costs(p) < draftBetter*d.costs(k)*d.s.makes(p, k)
}
