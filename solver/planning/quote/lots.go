package quote

import (
	"math"
	"math/rand/v2"
)

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
