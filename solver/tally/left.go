package tally

import "math/big"

// Left is what is left of a pack.
type Left struct {
	BoardFeet *big.Rat // not below 0
	// Over is what was consumed beyond the supplier's tally.
	Over *big.Rat
	// Least and Most bound what is left, given the readings and, if the rest is known only
	// from the supplier's tally, the supplier's record.
	Least, Most *big.Rat
	// FromTally says that the rest was not measured: it is the supplier's tally less what
	// was consumed.
	FromTally bool
	// Record says that Least and Most include the errors of the supplier's earlier
	// tallies. Otherwise they include measurement error alone.
	Record bool
	Boards int64    // how many boards are left; below 0: not known
	Value  *big.Rat // at the pack's price
}

// leastRecord is the least number of packs for a supplier's record to be used.
const leastRecord = 3

// spreads is the number of standard deviations of the record within the bounds: a
// probability of about 95 %.
const spreads = 2

func consumed(b *Board) bool { return b.Consumed }
func kept(b *Board) bool     { return !b.Consumed }

// left gives what is left, or nil if neither a tally nor the whole pack is known. What is
// consumed and what is left add up exactly to what was received: what is left is the
// whole less what was consumed, each tallied by the rule.
func (t *Terms) left(p *Pack, a *Account, record *Accuracy) *Left {
	l := &Left{FromTally: a.Measured == nil || p.Scope == ConsumedSoFar}
	var rest, less, more *big.Rat
	switch {
	case !l.FromTally:
		gone := Measure(p.Boards, p.Thickness, consumed)
		rest = new(big.Rat).Sub(a.Measured, t.Convert(gone.BoardFeet(t.Rule, p.Thickness), p.Basis))
		// The error of the rest depends only on its own boards.
		own := Measure(p.Boards, p.Thickness, kept).BoardFeet(t.Rule, p.Thickness)
		least, most := t.Instrument.Range(t.Rule, p.Boards, p.Thickness, kept)
		less = t.Convert(new(big.Rat).Sub(own, least), p.Basis)
		more = t.Convert(new(big.Rat).Sub(most, own), p.Basis)
		l.Boards = a.Sums.Pieces - gone.Pieces
	case a.Tallied == nil:
		return nil
	default:
		rest = new(big.Rat).Set(a.Tallied)
		less, more = new(big.Rat), new(big.Rat)
		if a.Measured != nil {
			rest.Sub(rest, a.Measured)
			less.Sub(a.Most, a.Measured)
			more.Sub(a.Measured, a.Least)
		}
		l.Boards = a.Pieces
		if a.Sums != nil {
			l.Boards -= a.Sums.Pieces
		}
		if record != nil && record.Packs >= leastRecord {
			l.Record = true
			low, high := record.Mean-spreads*record.Spread, record.Mean+spreads*record.Spread
			less.Add(less, share(a.Tallied, max(-low, 0)))
			more.Add(more, share(a.Tallied, max(high, 0)))
		}
	}
	for _, r := range p.Runs {
		rest.Sub(rest, t.Convert(r.boardFeet(t.Rule, p.Thickness), p.Basis))
		low, high := r.within(t.Instrument, t.Rule, p.Thickness)
		// The more a run took, the less is left.
		less.Add(less, t.Convert(high, p.Basis))
		more.Add(more, t.Convert(low, p.Basis))
		l.Boards -= r.Boards
	}
	if l.Boards = max(l.Boards, 0); l.FromTally && a.Pieces == 0 {
		l.Boards = -1
	}
	l.Over = notNegative(new(big.Rat).Neg(rest))
	l.BoardFeet = notNegative(rest)
	l.Least = notNegative(new(big.Rat).Sub(rest, less))
	l.Most = notNegative(new(big.Rat).Add(rest, more))
	l.Value = t.value(p, l.BoardFeet)
	return l
}

// share gives a percentage of v.
func share(v *big.Rat, percent float64) *big.Rat {
	s := ratOf(percent / 100)
	return s.Mul(s, v)
}
