package tally

import "math/big"

// Terms apply to all packs of a call.
type Terms struct {
	Rule       Rule  // the governing rule
	Basis      Basis // of the figures given
	Allowance  Allowance
	Instrument Instrument
	// Past are the packs accounted earlier, in the order received. They count in the
	// suppliers' accuracy.
	Past []Past
}

// Account is the account of one pack. Figures are in board feet by the rule and on the
// basis of the terms; nil if there is none.
type Account struct {
	// Sums of the boards measured, by every rule; nil without boards.
	Sums *Sums
	// Measured is the wood measured; Least and Most bound its true amount.
	Measured, Least, Most *big.Rat
	Tallied               *big.Rat // by the supplier
	Pieces                int64    // boards in the supplier's tally; 0: not stated
	Comparison            *Comparison
	Findings              []Finding
	Left                  *Left
}

// Comparison of a whole pack with its supplier's tally.
type Comparison struct {
	Difference *big.Rat // measured less tallied
	Percent    *big.Rat // of the amount tallied; nil if that is 0
	Money      *big.Rat // the price of the difference
	// Lacking and Surplus are the board feet short of the tally, and beyond it, that
	// measurement error and the rounding of a total cannot explain.
	Lacking, Surplus *big.Rat
	Verdict          Verdict
}

// Verdict is the meaning of a difference.
type Verdict int

// The verdicts.
const (
	Agrees  Verdict = iota // measurement error can explain the difference
	Lacks                  // there is less wood than tallied
	Exceeds                // there is more wood than tallied
)

// account fills in everything except what is left, which needs the suppliers' accuracy
// first.
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

// Convert converts board feet to the basis of the terms.
func (t *Terms) Convert(v *big.Rat, from Basis) *big.Rat {
	return t.Allowance.Convert(v, from, t.Basis)
}

// value gives the price of board feet on the basis of the terms. The price is per
// thousand board feet as the supplier tallied them, so a change of basis changes no
// money.
func (t *Terms) value(p *Pack, boardFeet *big.Rat) *big.Rat {
	v := new(big.Rat).Set(boardFeet)
	if p.Tally != nil {
		v = t.Allowance.Convert(v, t.Basis, p.Tally.Basis)
	}
	return v.Mul(v, big.NewRat(p.Price, 1_000_000*1000))
}
