package tally

import "math/big"

// Terms are what all packs of a call are accounted by.
type Terms struct {
	Rule       Rule  // the one that governs
	Basis      Basis // of the figures given
	Allowance  Allowance
	Instrument Instrument
	// Past are packs that were accounted before, in the order in which they were
	// received. They count in the suppliers' accuracy.
	Past []Past
}

// Account is what a pack comes to. Figures are in board feet by the rule and on
// the basis of the terms; nil where there is none.
type Account struct {
	// Sums of the boards measured, by every rule; nil without boards.
	Sums *Sums
	// Measured is the wood measured, with the least and the most that it can be.
	Measured, Least, Most *big.Rat
	Tallied               *big.Rat // what the supplier says
	Pieces                int64    // boards in the supplier's tally; 0: it does not say
	Comparison            *Comparison
	Findings              []Finding
	Left                  *Left
}

// Comparison of a whole pack with its supplier's tally.
type Comparison struct {
	Difference *big.Rat // measured less tallied
	Percent    *big.Rat // of what is tallied; nil if that is nothing
	Money      *big.Rat // what the difference costs or brings
	// Lacking and Surplus are how many board feet short of the tally, and beyond
	// it, measurement error and the rounding of a total can explain.
	Lacking, Surplus *big.Rat
	Verdict          Verdict
}

// Verdict says what a difference means.
type Verdict int

// The verdicts.
const (
	Agrees  Verdict = iota // measurement error can explain the difference
	Lacks                  // there is less wood than tallied
	Exceeds                // there is more wood than tallied
)

// account does all for a pack but what is left, for which the suppliers'
// accuracy is needed first.
func (t *Terms) account(p *Pack) *Account {
	a := &Account{Findings: p.findings()}
	if len(p.Boards) > 0 {
		a.Sums = Measure(p.Boards, p.Thickness, nil)
		a.Measured = t.Convert(a.Sums.BoardFeet(t.Rule, p.Thickness), p.Basis)
		least, most := t.Instrument.Range(t.Rule, p.Boards, p.Thickness, nil)
		a.Least, a.Most = t.Convert(least, p.Basis), t.Convert(most, p.Basis)
	}
	if p.Tally == nil {
		return a
	}
	tallied, within := p.Tally.boardFeet(t.Rule, p.Thickness)
	a.Tallied, a.Pieces = t.Convert(tallied, p.Tally.Basis), p.Tally.pieces()
	if a.Measured != nil && p.Scope == WholePack {
		a.Comparison = t.compare(p, a, t.Convert(within, p.Tally.Basis))
	}
	return a
}

func (t *Terms) compare(p *Pack, a *Account, within *big.Rat) *Comparison {
	c := &Comparison{
		Difference: new(big.Rat).Sub(a.Measured, a.Tallied),
		Lacking:    new(big.Rat).Sub(a.Most, a.Measured),
		Surplus:    new(big.Rat).Sub(a.Measured, a.Least),
	}
	c.Lacking.Add(c.Lacking, within)
	c.Surplus.Add(c.Surplus, within)
	if a.Tallied.Sign() > 0 {
		c.Percent = new(big.Rat).Quo(c.Difference, a.Tallied)
		c.Percent.Mul(c.Percent, big.NewRat(100, 1))
	}
	c.Money = t.value(p, c.Difference)
	switch {
	case new(big.Rat).Neg(c.Difference).Cmp(c.Lacking) > 0:
		c.Verdict = Lacks
	case c.Difference.Cmp(c.Surplus) > 0:
		c.Verdict = Exceeds
	}
	return c
}

// Convert brings board feet to the basis of the terms.
func (t *Terms) Convert(v *big.Rat, from Basis) *big.Rat {
	return t.Allowance.Convert(v, from, t.Basis)
}

// value gives what board feet on the basis of the terms cost. The price is per
// thousand board feet as the supplier tallied them, so that a change of basis
// changes no money.
func (t *Terms) value(p *Pack, boardFeet *big.Rat) *big.Rat {
	v := new(big.Rat).Set(boardFeet)
	if p.Tally != nil {
		v = t.Allowance.Convert(v, t.Basis, p.Tally.Basis)
	}
	return v.Mul(v, big.NewRat(p.Price, 1_000_000*1000))
}
