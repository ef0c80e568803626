package values

import "slices"

// draft is a plan made without the programme, which takes long to balance hundreds of rows.
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
}

const (
	// draftRows is the least number of rows for which a draft is made: of fewer the
	// programme itself soon has a plan.
	draftRows = 50
	// draftFirst passes after one over all boards fill all that is left, for a first plan.
	draftFirst = 3
	// draftEven passes each stand for draftPart of the boards whose face is still needed.
	// As many follow to the end.
	draftEven = 6
	draftPart = 0.7
	// draftFrom is the part of the rows that the first of the last passes may fill by one
	// strip of each, and draftMore what each further pass adds.
	draftFrom, draftMore = 0.3, 0.15
	// draftWidths are the rows that a board is ripped for, others for the next: a search
	// for hundreds takes far longer and finds little more.
	draftWidths = 50
	// draftNew raises the value of rows that no board has given yet: without a policy for
	// every row there is no plan.
	draftNew = 4
)

// firstDraft rips the boards of the lot whose face is cheapest until almost every row has a
// policy, and makes a first plan of that. It reports false if stopped.
func (s *search) firstDraft(lot int, o *Options) bool {
	mean := average(&s.pl.p.Lots[lot])
	if mean.face == 0 {
		return true
	}
	d := &draft{s: s, left: make([]float64, len(s.open)), boards: make([]float64, len(s.pl.p.Lots))}
	for k, open := range s.open {
		if open > 0 && !s.pl.never[k] {
			d.left[k] = s.pl.Demand.Rows[k].Units(open)
		}
	}
	s.begun = d
	if _, whole := d.pass(lot, d.most(lot, draftPart*d.face()/mean.face), mean, o); !whole {
		return false
	}
	first := &draft{s: s, left: slices.Clone(d.left), uses: slices.Clone(d.uses), boards: slices.Clone(d.boards), cost: d.cost}
	for range draftFirst {
		boards := mean.boards * first.strips(mean.metres, 1)
		if boards == 0 {
			break
		}
		if _, whole := first.pass(lot, boards, mean, o); !whole {
			return false
		}
	}
	s.draft = first
	return true
}

// secondDraft goes on from the first pass with smaller steps, lot after lot, and keeps the
// better plan. It reports false if stopped.
func (s *search) secondDraft(lots []int, o *Options) (whole bool) {
	d := s.begun
	for k := range d.left {
		if s.pl.never[k] {
			d.left[k] = 0
		}
	}
	whole = true
	for _, g := range lots {
		if whole = d.from(g, o); !whole || !s.pl.p.Lots[g].Limited {
			break
		}
	}
	if d.complete() && (!s.draft.complete() || d.cost < s.draft.cost) {
		s.draft = d
	}
	return whole
}

// from rips a lot's boards until the rows are filled, the boards used up, or nothing more
// is made. It reports false if stopped.
func (d *draft) from(lot int, o *Options) bool {
	mean := average(&d.s.pl.p.Lots[lot])
	if mean.face == 0 {
		return true
	}
	for pass := range 2 * draftEven {
		boards := draftPart * d.face() / mean.face
		if pass >= draftEven {
			boards = mean.boards * d.strips(mean.metres, draftFrom+draftMore*float64(pass-draftEven))
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
	d.cost += boards * p.cost
}

// complete fills what is left of rows by the best policy of each alone. It reports false
// if limited lots have too few boards for that.
func (d *draft) complete() bool {
	for k, left := range d.left {
		if i := d.s.pl.best[k]; left > 0 && i >= 0 {
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
