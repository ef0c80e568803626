package values

import (
	"cmp"
	"slices"
)

// draft is a plan made without the programme, which takes long to balance many rows.
//
// A lot's boards are ripped in passes, for what is still open. A pass stands for a part of
// the boards that this needs, and the use that it makes of them is a policy. What its
// boards have made so far, it asks no more of the others. The last passes are not sized by
// what all rows need, but so that more and more rows are filled by one strip of a pass: a
// little is then open of each row, and many small passes would do less with as many boards.
//
// Where each lot is one kind of board a search takes but a moment and there are greedy plans
// (whole.go), so no draft is made.
type draft struct {
	s      *search
	left   []float64 // of each row, in its units
	uses   []use
	boards []float64 // of each lot
	cost   float64
	term   int // only what must be filled by its end is asked for
}

const (
	// draftRows is the least number of rows for which a draft is made: of fewer the
	// programme itself soon has a plan, unless there are dues.
	draftRows = 12
	// draftFrom is the part of the rows that the first of the last passes may fill by one
	// strip of each, and draftMore what all further passes add.
	draftFrom, draftMore = 0.3, 0.9
	// draftWidths are the rows that a board is ripped for, others for the next: a search
	// for hundreds takes far longer and finds little more.
	draftWidths = 16
	draftWork   = 5_000
)

// draftSteps are those of one draft after the other, but for the first of so many rows at
// least: even passes each stand for part of the boards whose face is still needed. As many
// follow to the end. Small steps waste less but take longer, and the programme does as well
// with fewer rows.
var draftSteps = []struct {
	rows, even int
	part       float64
}{{0, 6, 0.7}, {100, 16, 0.35}}

// drafted makes drafts, each in smaller steps, and keeps the cheapest. It reports false if
// stopped; the last is then what there is, and fills the rest of the order row by row.
func (s *search) drafted(lots []int, o *Options) (whole bool) {
	o, whole = o.within(draftWork), true
	for _, step := range draftSteps {
		if len(s.rows) < step.rows {
			break
		}
		d := s.blank()
		for _, g := range lots {
			if whole = d.from(g, step.even, step.part, o); !whole || !s.pl.p.Lots[g].Limited {
				break
			}
		}
		if full := d.complete(); s.draft == nil || full && (!s.draft.complete() || d.cost < s.draft.cost) {
			s.draft = d
		}
		if !whole {
			return false
		}
	}
	return true
}

// blank is a draft without boards.
func (s *search) blank() *draft {
	d := &draft{s: s, left: make([]float64, len(s.open)), boards: make([]float64, len(s.pl.p.Lots))}
	for _, k := range s.rows {
		d.left[k] = s.pl.Demand.Rows[k].Units(s.open[k])
	}
	return d
}

// from rips a lot's boards until the rows are filled, the boards used up, or nothing more
// is made. It reports false if stopped.
func (d *draft) from(lot, even int, part float64, o *Options) bool {
	mean := average(&d.s.pl.p.Lots[lot])
	if mean.face == 0 {
		return true
	}
	for pass := range 2 * even {
		boards := part * d.face() / mean.face
		if late := pass - even; late >= 0 {
			boards = mean.boards * d.strips(mean.metres, draftFrom+draftMore*float64(late)/float64(even))
		}
		if boards = d.most(lot, boards); boards <= 0 {
			break
		}
		if some, whole := d.pass(lot, boards, mean, o); !whole || !some {
			return whole
		}
	}
	return true
}

// most limits boards to what a lot still has.
func (d *draft) most(lot int, boards float64) float64 {
	if l := &d.s.pl.p.Lots[lot]; l.Limited {
		return min(boards, l.Most-d.boards[lot])
	}
	return boards
}

// face is the least face of what is left.
func (d *draft) face() (m2 float64) {
	for k, left := range d.left {
		m2 += left * d.s.pl.area(k)
	}
	return m2
}

// strips is the number of strips that a part of the rows needs at most of what is left of
// each.
func (d *draft) strips(metres, part float64) float64 {
	var all []float64
	for k, left := range d.left {
		if left > 0 {
			all = append(all, left/d.strip(k, metres))
		}
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[int(min(part, 1)*float64(len(all)-1))]
}

// strip is roughly what one strip of that many metres gives of a row.
func (d *draft) strip(k int, metres float64) float64 {
	r := &d.s.pl.Demand.Rows[k]
	return strip(&d.s.pl.Demand.Items[r.Item], r, metres)
}

// mean is a lot's number of boards, and an average one; all 0 if it has none.
type mean struct{ boards, face, metres float64 }

func average(l *Lot) (m mean) {
	for _, kind := range l.Kinds {
		n := float64(kind.Count)
		m.boards += n
		m.face += n * kind.Board.Face().SquareMetres()
		m.metres += n * kind.Board.Length.MM() / 1000
	}
	if m.boards == 0 {
		return mean{}
	}
	m.face /= m.boards
	m.metres /= m.boards
	return m
}

func (d *draft) take(p *policy, boards float64) {
	d.uses = append(d.uses, use{p, boards})
	d.boards[p.lot] += boards
	d.cost += boards * d.s.costs(p)
}

// complete fills what is left of rows in the term. It reports false if limited lots have
// too few boards for that.
func (d *draft) complete() bool {
	for _, p := range d.savers() {
		if boards := d.most(p.lot, d.pays(p)); boards > 0 {
			d.take(p, boards)
			for k := range d.left {
				d.left[k] = max(d.left[k]-boards*d.s.makes(p, k), 0)
			}
		}
	}
	for k, left := range d.left {
		if i := d.s.pl.best[k]; left > 0 && i >= 0 && !d.later(k) {
			p := d.s.pl.pool[i]
			d.take(p, left/d.s.makes(p, k))
			d.left[k] = 0
		}
	}
	for g, boards := range d.boards {
		if !d.s.pl.p.Lots[g].has(boards) {
			return false
		}
	}
	return true
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

// pays is the number of a policy's boards of which each saves more than it costs.
func (d *draft) pays(p *policy) (boards float64) {
	var rows []int
	saved := 0.0
	for k := range d.left {
		if s := d.saved(p, k); s > 0 {
			rows = append(rows, k)
			saved += s
		}
	}
	fill := func(k int) float64 { return d.left[k] / d.s.makes(p, k) }
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(fill(a), fill(b)) })
	for _, k := range rows {
		if saved <= d.s.costs(p) {
			break
		}
		boards = fill(k)
		saved -= d.saved(p, k)
	}
	return boards
}

// saved is what a policy's board makes of a row costs by the best policy for it alone; 0
// if nothing is left of the row in the term.
func (d *draft) saved(p *policy, k int) float64 {
	i := d.s.pl.best[k]
	if d.left[k] <= 0 || i < 0 || d.later(k) {
		return 0
	}
	alone := d.s.pl.pool[i]
	return d.s.makes(p, k) * d.s.costs(alone) / d.s.makes(alone, k)
}
