package quote

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/ripwright/ripwright/solver/planning/values"
)

// fewer gives the boards of each lot in a plan that takes as few lots as possible at the
// plan's cost, to the accuracy of planning: a lot of which the order takes little comes
// to be left first. Lots as good as each other could each be left, but not all of them.
func fewer(pl *values.Planner, lots []values.Lot, plan *values.Plan, open []int64, o values.Options) []float64 {
	boards := plan.Boards
	if plan.Short || plan.Stopped {
		return boards
	}
	most := plan.Cost * (1 + o.Gap)
	o.Rounds = 1 // most ways to rip are known
	var taken []int
	for g, n := range boards {
		if n > 0 {
			taken = append(taken, g)
		}
	}
	slices.SortStableFunc(taken, func(a, b int) int { return cmp.Compare(boards[a], boards[b]) })
	had := slices.Clone(lots)
	for _, g := range taken {
		if boards[g] == 0 { // by now
			continue
		}
		pl.Limit(g, true, 0)
		if p, err := pl.Plan(open, o); err == nil && !p.Short && p.Cost > 0 && p.Cost <= most {
			boards = p.Boards
		} else {
			pl.Limit(g, had[g].Limited, had[g].Most)
		}
	}
	for g := range had {
		pl.Limit(g, had[g].Limited, had[g].Most)
	}
	return boards
}

// next gives the lot of the next board; false: no lot has any boards left.
func (r *course) next(random *rand.Rand) (int, bool) {
	if !r.p.Stock {
		return r.lot(random), true
	}
	// Of the lots with boards left, the one that lags most behind its share. Once the
	// plan's lots are used up, the cheapest of the others.
	best, most, so := -1, 0.0, float64(r.tally.boards+r.tally.aside+1)/r.shares[len(r.shares)-1]
	before := 0.0
	for g, s := range r.shares {
		share := s - before
		before = s
		if lot := &r.p.Values.Lots[g]; lot.Limited && float64(r.tally.lots[g].boards+1) > lot.Most {
			continue
		}
		lags := share*so - float64(r.tally.lots[g].boards)
		if share <= 0 {
			lags = math.Inf(-1) // before none
		}
		if best < 0 || lags > most || lags == most && math.IsInf(lags, -1) && r.p.Lots[g].Price < r.p.Lots[best].Price {
			best, most = g, lags
		}
	}
	return best, best >= 0
}

// lot draws the lot of a board.
func (r *course) lot(random *rand.Rand) int {
	if len(r.shares) == 1 {
		return 0
	}
	at := random.Float64() * r.shares[len(r.shares)-1]
	for g, s := range r.shares {
		if at < s {
			return g
		}
	}
	return len(r.shares) - 1
}
