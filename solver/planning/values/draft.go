package values

import (
	"math"
	"slices"
)

// draft is a plan made without the programme, which takes long to balance many rows.
//
// A lot's boards are ripped in passes, for what is still open, and the use that a pass makes
// of them is a policy. At first a pass stands for a part of the boards whose face is still
// needed, rows are worth their area, and what the boards of the pass have made so far they
// ask no more of the others. What is then left is of few rows, or little of many. Few are
// worth what they would cost alone, and each pass stands for as many boards as save more
// than they cost. Of many, passes are sized so that more and more rows are filled by one
// strip of a pass.
//
// Where that does not keep the dues, another is made term by term: passes are for what must
// be filled by the end of the term, and what is due later is made beside it.
//
// Where each lot is one kind of board a search takes but a moment and there are greedy plans
// (whole.go), so no draft is made.
type draft struct {
	s      *search
	terms  terms
	term   int       // that is being filled
	ends   []float64 // boards by the end of each term but the last
	left   []float64 // of each row, in its units
	uses   []use
	boards []float64 // of each lot
	cost   float64
	full   bool // it fills all rows, and limited lots have the boards
}

const (
	// draftRows is the least number of rows for which a draft is made: of fewer the
	// programme itself soon has a plan, unless there are dues.
	draftRows = 12
	// draftMany is the number of rows above which little is left of many.
	draftMany = 50
	// draftFrom is the part of the rows that the first of the last passes may then fill by
	// one strip of each, and draftMore what all further passes add.
	draftFrom, draftMore = 0.3, 0.9
	// draftSlow is the part of the face needed that a pass may leave: after one that leaves
	// more the last passes come at once.
	draftSlow = 0.65
	draftWork = 5_000
	// draftDue is the number of even passes of all terms that end together.
	draftDue = 8
)

// draftSteps are those of one draft after the other, but for the first of so many rows at
// least: even passes each stand for part of the boards whose face is still needed. As many
// follow to the end. Small steps waste less but take longer, and the programme does as well
// with fewer rows.
var draftSteps = []struct {
	rows, even int
	part       float64
}{{0, 6, 0.7}, {100, 16, 0.35}}

// drafted makes drafts, each in smaller steps, and keeps the cheapest; if that does not keep
// the dues, also one that is made term by term. It reports false if stopped; what a draft
// then lacks is filled by the policies known.
func (s *search) drafted(lots []int, o *Options) (whole bool) {
	o = o.within(draftWork)
	var cheapest *draft
	for _, step := range draftSteps {
		if len(s.rows) < step.rows {
			break
		}
		d := s.blank(s.undue())
		whole = d.fill(lots, step.even, step.part, o)
		if d.complete(); cheapest == nil || d.full && (!cheapest.full || d.cost < cheapest.cost) {
			cheapest = d
		}
		if !whole {
			break
		}
	}
	t := newTerms(s)
	dues := len(t.ends)
	if dues > 0 {
		cheapest = cheapest.sorted(t)
	}
	s.drafts = append(s.drafts, cheapest)
	if dues == 0 || !whole || cheapest.full && cheapest.keeps(t.ends) {
		return whole
	}
	d, first := s.blank(t), draftSteps[0]
	for d.term = range d.terms.count() {
		even := max(draftDue/dues, 1)
		if d.term == dues {
			even = first.even
		}
		whole = whole && d.fill(lots, even, first.part, o)
		d.complete()
	}
	s.drafts = append(s.drafts, d)
	return whole
}

// blank is a draft without boards.
func (s *search) blank(t terms) *draft {
	d := &draft{s: s, terms: t, left: make([]float64, len(s.open)), boards: make([]float64, len(s.pl.p.Lots))}
	for _, k := range s.rows {
		d.left[k] = s.pl.Demand.Rows[k].Units(s.open[k])
	}
	return d
}

// later reports whether a row may be filled after the term.
func (d *draft) later(k int) bool { return d.terms.last[k] > d.term }

// fill rips boards of a lot for the term, and of the next where it is used up. It reports
// false if stopped.
func (d *draft) fill(lots []int, even int, part float64, o *Options) (whole bool) {
	for _, g := range lots {
		if whole := d.from(g, even, part, o); !whole || !d.s.pl.p.Lots[g].Limited {
			return whole
		}
	}
	return true
}

// from rips a lot's boards until the rows are filled, the boards used up, or nothing more
// is made. It reports false if stopped.
func (d *draft) from(lot, even int, part float64, o *Options) bool {
	mean := average(&d.s.pl.p.Lots[lot])
	if mean.face == 0 {
		return true
	}
	many := d.open() > draftMany
	for n := 0; n < 2*even; n++ {
		before := d.face()
		p := pass{draft: d, lot: lot, mean: mean, boards: part * before / mean.face}
		switch late := n - even; {
		case late >= 0 && many:
			p.boards = mean.boards * d.strips(mean.metres, draftFrom+draftMore*float64(late)/float64(even))
		case late >= 0:
			p.boards, p.alone = math.Inf(1), true
		}
		if p.boards = d.most(lot, p.boards); p.boards <= 0 {
			break
		}
		switch some, whole := p.run(o); {
		case !whole:
			return false
		case n < even && (!some || !many && d.face() > draftSlow*before):
			n = even - 1
		case !some:
			return true
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

// open is the number of the term's rows of which something is left.
func (d *draft) open() (n int) {
	for k, left := range d.left {
		if left > 0 && !d.later(k) {
			n++
		}
	}
	return n
}

// face is the least face of what is left in the term.
func (d *draft) face() (m2 float64) {
	for k, left := range d.left {
		if !d.later(k) {
			m2 += left * d.s.pl.area(k)
		}
	}
	return m2
}

// strips is the number of strips that a part of the term's rows needs at most of what is
// left of each.
func (d *draft) strips(metres, part float64) float64 {
	var all []float64
	for k, left := range d.left {
		if left > 0 && !d.later(k) {
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
