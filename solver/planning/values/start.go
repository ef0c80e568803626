package values

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/unit"
)

// start finds a policy for every open row that fills it alone, unless it has one, so that
// there is a plan from the first programme on. It reports false if stopped before.
//
// Boards are ripped for the most area of the rows that have none, over and over until no
// more gets one: so a board is searched a few times, not for each row. Lots come one after
// another, the cheapest by its face first. Of many rows, or with dues, a draft comes after
// that. Rows of which nothing can be made even if each board is searched to the end are
// impossible.
//
// Where lots are limited, each lot gets a policy for every row: a programme whose policies
// all stand on boards that there are too few of prices those boards beyond all measure.
func (s *search) start() bool {
	lots, quick := s.pl.byFace, s.o.within(startWork)
	lack := s.rowsThat(func(k int) bool { return s.pl.best[k] < 0 && !s.pl.never[k] || !s.serves(k) })
	due := func(r demand.Row) bool { return r.Due > 0 }
	long := len(lack) >= draftRows || len(lack) > 0 && slices.ContainsFunc(s.pl.Demand.Rows, due)
	stocked := slices.DeleteFunc(slices.Clone(lots), func(g int) bool { return s.pl.p.Lots[g].Limited && s.pl.p.Lots[g].Most < 1 })
	whole := true
	unsure, never := slices.Clone(lots), []int(nil)
	for i := 0; whole && i < len(stocked); i++ {
		var sure bool
		if lack, sure, whole = s.cover(lack, stocked[i:i+1], quick); sure {
			unsure = slices.DeleteFunc(unsure, func(g int) bool { return g == stocked[i] })
		}
		if i == 0 && whole && len(lack) >= draftRows {
			lack, never, whole = s.pl.split(lack, s.o)
		}
	}
	if whole {
		lack, _, whole = s.cover(lack, unsure, s.o)
	}
	if !whole {
		s.plan.Stopped = true
		return false
	}
	for _, k := range append(lack, never...) {
		s.pl.never[k] = s.pl.best[k] < 0
	}
	s.rows = s.rowsThat(func(k int) bool { return s.pl.best[k] >= 0 })
	s.plan.Impossible = s.rowsThat(func(k int) bool { return s.pl.best[k] < 0 })
	if long && !s.pl.alike() && !s.drafted(stocked, s.o) || !slices.ContainsFunc(lots, s.limited) {
		return true
	}
	for i, g := range lots {
		rows := s.rowsThat(func(k int) bool { return s.pl.best[k] >= 0 && !s.pl.solo[g][k] })
		if rows, _, whole = s.cover(rows, lots[i:i+1], quick); !whole {
			return true // the programme stops as well, with a plan
		}
		for _, k := range rows {
			s.pl.solo[g][k] = true
		}
	}
	return true
}

// rowsThat lists the open rows of which something holds.
func (s *search) rowsThat(holds func(k int) bool) (out []int) {
	for k, open := range s.open {
		if open > 0 && holds(k) {
			out = append(out, k)
		}
	}
	return out
}

// cover rips boards of some lots for rows that lack a policy, and gives those that still
// do, and whether no board of these lots can make any of them. It reports false if stopped.
//
// All boards are ripped for the same rows, whose policies are good together. But of many
// rows the few that waste least take every board. So where they are less than a quarter,
// or many lack one, boards are next ripped for what those before them do not make.
func (s *search) cover(lack, lots []int, o *Options) (left []int, sure, whole bool) {
	for poor := len(lack) >= draftRows; len(lack) > 0 && len(lots) > 0; {
		v := make([]int64, len(s.open))
		s.byArea(lack, v)
		soon, next := o, (func([]priced))(nil)
		if poor {
			soon, next = o.within(startWork), s.others(lack, v)
		}
		out, whole := s.pl.priceLots(lots, v, s.open, 0, false, soon, next)
		if !whole {
			return lack, false, false
		}
		left := slices.Clone(lack)
		for i := range out {
			p := out[i].policy
			before := len(left)
			if left = slices.DeleteFunc(left, func(k int) bool { return s.offer(k, &p) }); len(left) < before {
				s.pl.pool = append(s.pl.pool, &p)
			}
		}
		switch found := len(lack) - len(left); {
		case found == 0 && !poor:
			return lack, worthless(out), true
		case found == 0:
			poor = false // they were not all tried on each board
		default:
			poor = poor || 4*found < len(lack)
		}
		lack = left
	}
	return lack, true, true
}

// worthless reports whether boards are proven to be worth nothing.
func worthless(all []priced) bool {
	return !slices.ContainsFunc(all, func(p priced) bool {
		return slices.ContainsFunc(p.worth, func(w unit.Worth) bool { return !w.IsZero() })
	})
}

// byArea values rows by the area that they take.
func (s *search) byArea(rows []int, v []int64) {
	for _, k := range rows {
		v[k] = max(int64(s.pl.area(k)*1e9), 1)
	}
}

// coverWidths are the rows that a board is ripped for where many lack a policy: any of
// them will do, and other boards are tried in less time.
const coverWidths = 12

// others prices rows of which no board has made any so far, few of them for a board; all
// of them once each is made.
func (s *search) others(rows []int, v []int64) func([]priced) {
	turn := 0
	next := func(out []priced) {
		s.byArea(rows, v)
		left := slices.Clone(v)
		for k := range left {
			if slices.ContainsFunc(out, func(p priced) bool { return p.made[k] > 0 }) {
				left[k] = 0
			}
		}
		if slices.ContainsFunc(left, func(value int64) bool { return value > 0 }) {
			copy(v, left)
		}
		turn++
		thin(v, coverWidths, turn, func(int) bool { return true })
	}
	next(nil)
	return next
}

// lotsByFace gives the lots by what a square metre costs.
func (pl *Planner) lotsByFace() []int {
	lots, costs := make([]int, len(pl.p.Lots)), make([]float64, len(pl.p.Lots))
	for g := range lots {
		lots[g], costs[g] = g, pl.perFace(g)
	}
	slices.SortStableFunc(lots, func(a, b int) int { return cmp.Compare(costs[a], costs[b]) })
	return lots
}

// offer adds a policy for a row alone if it makes some: nothing else counts in it, so that
// such policies are a start for the programme.
func (s *search) offer(k int, from *policy) bool {
	if from.made[k] <= 0 {
		return false
	}
	pl, p := s.pl, *from
	p.alone = k
	p.made, p.over = make([]float64, len(s.open)), make([]int64, len(s.open))
	p.made[k], p.over[k] = from.made[k], from.over[k]
	if _, usable := pl.makes(&p, k, s.open[k]); !usable {
		return false
	}
	pl.solo[p.lot][k] = true
	pl.pool = append(pl.pool, &p)
	if i := pl.best[k]; i < 0 || !s.serves(k) || p.cost/s.makes(&p, k) < pl.pool[i].cost/s.makes(pl.pool[i], k) {
		pl.best[k] = len(pl.pool) - 1
	}
	return true
}
