package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/solver/unit"
)

// Result of a call.
type Result struct {
	Accounts []*Account // one for each pack
	Groups   []*Group   // by species, grade and thickness, in order of appearance
	All      *Group
	Accuracy []*Accuracy // by supplier
}

// Group is the total of packs of one kind. A figure that a pack lacks counts as nothing;
// Compared is the number of packs that have both figures.
type Group struct {
	Species, Grade string
	Thickness      unit.Length

	Packs, Compared                      int
	Boards                               int64 // measured
	Tallied, Measured, Left              *big.Rat
	DifferenceBoardFeet, DifferenceMoney *big.Rat // over the packs compared
	ValueLeft                            *big.Rat
	LeftUnknown                          int // packs of which neither a tally nor the whole is known
}

// Account gives the account of each pack, the totals and the suppliers' accuracy. The
// error is a fault.List.
func (t *Terms) Account(packs []Pack) (*Result, error) {
	if err := t.faults(packs).Err(); err != nil {
		return nil, err
	}
	r := &Result{All: newGroup(&Pack{})}
	for i := range packs {
		r.Accounts = append(r.Accounts, t.account(&packs[i]))
	}
	r.Accuracy = t.accuracy(packs, r.Accounts)
	records := map[string]*Accuracy{}
	for _, a := range r.Accuracy {
		records[a.Supplier] = a
	}
	type key struct {
		species, grade string
		thickness      unit.Length
	}
	groups := map[key]*Group{}
	for i, a := range r.Accounts {
		p := &packs[i]
		a.Left = t.left(p, a, records[p.Supplier])
		k := key{p.Species, p.Grade, p.Thickness}
		g := groups[k]
		if g == nil {
			g = newGroup(p)
			groups[k], r.Groups = g, append(r.Groups, g)
		}
		g.add(a)
		r.All.add(a)
	}
	return r, nil
}

func newGroup(p *Pack) *Group {
	return &Group{Species: p.Species, Grade: p.Grade, Thickness: p.Thickness,
		Tallied: new(big.Rat), Measured: new(big.Rat), Left: new(big.Rat),
		DifferenceBoardFeet: new(big.Rat), DifferenceMoney: new(big.Rat), ValueLeft: new(big.Rat)}
}

func (g *Group) add(a *Account) {
	g.Packs++
	if a.Sums != nil {
		g.Boards += a.Sums.Pieces
		g.Measured.Add(g.Measured, a.Measured)
	}
	if a.Tallied != nil {
		g.Tallied.Add(g.Tallied, a.Tallied)
	}
	if c := a.Comparison; c != nil {
		g.Compared++
		g.DifferenceBoardFeet.Add(g.DifferenceBoardFeet, c.Difference)
		g.DifferenceMoney.Add(g.DifferenceMoney, c.Money)
	}
	if a.Left == nil {
		g.LeftUnknown++
		return
	}
	g.Left.Add(g.Left, a.Left.BoardFeet)
	g.ValueLeft.Add(g.ValueLeft, a.Left.Value)
}
