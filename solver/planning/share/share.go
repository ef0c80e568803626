// Package share divides what is open of an order among the lines that work on it, so that
// nothing is made twice and all of them end together.
//
// What a line has reserved is its own, as if it were made. The rest of each amount is
// shared by weight: by the lines' paces if they can make the same, otherwise by what each
// makes in the programme of Plan. Rounding is by the method of the largest remainder, in
// units of about a strip, so that the last metres of an item do not start a strip on
// every line; what a line gets too little or too much of one amount counts towards the
// next.
package share

import (
	"math/bits"
	"slices"
)

// Amount is what is open of one item or length of an order, in whole numbers.
type Amount struct {
	// Open is what is not made yet, including what is reserved: not below 0.
	Open int64
	// Unit is the unit in which it is divided, at least 1.
	Unit int64
	// Size is the lumber that one of the amount takes, by which the roundings of different
	// amounts are compared: not below 0.
	Size float64
	// Reserved is what each line has reserved, not below 0.
	Reserved []int64
	// Weights are the lines' weights, 0 to MaxWeight; at least one is above 0.
	Weights []int64
}

// MaxWeight is the greatest weight of a line.
const MaxWeight = 1 << 40

// Split gives each line's share of every amount: by amount, then by line. A line's share
// is at least what it has reserved. Shares add up to what is open, or to what is reserved
// if that is more. Shares of lines with equal weights and reservations differ by at most
// one unit.
func Split(amounts []Amount) [][]int64 {
	out := make([][]int64, len(amounts))
	var owed []float64 // size that each line is short of so far
	for k := range amounts {
		if owed == nil {
			owed = make([]float64, len(amounts[k].Reserved))
		}
		out[k] = amounts[k].split(owed)
	}
	return out
}

// part is what is due to a line beyond what it has reserved.
type part struct {
	line   int
	due    int64  // whole part
	beyond uint64 // remainder, over the sum of weights
	got    int64
}

func (a *Amount) split(owed []float64) []int64 {
	out := slices.Clone(a.Reserved)
	parts, sum := a.due()
	left := a.Open
	for _, r := range a.Reserved {
		left -= min(r, max(left, 0)) // limited, since it could overflow
	}
	if left <= 0 || sum == 0 {
		return out
	}
	unit := max(a.Unit, 1)
	for i := range parts {
		parts[i].got = parts[i].due / unit * unit
		left -= parts[i].got
	}
	// Each line gets at most one more unit: the remainders together are less than a unit
	// per line.
	missing := func(p *part) float64 {
		return (float64(p.due-p.got) + float64(p.beyond)/float64(sum)) * a.Size
	}
	order := make([]int, 0, len(parts))
	for i := range parts {
		if parts[i].due > parts[i].got || parts[i].beyond > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		x, y := missing(&parts[i])+owed[parts[i].line], missing(&parts[j])+owed[parts[j].line]
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	for _, i := range order {
		give := min(unit, left)
		parts[i].got += give
		left -= give
	}
	for i := range parts {
		p := &parts[i]
		out[p.line] += p.got
		owed[p.line] += missing(p)
	}
	return out
}

// due gives what is due to the lines that have not reserved more than their part, and the
// sum of their weights: the others keep what they have reserved, and the rest is shared
// again.
func (a *Amount) due() (parts []part, sum uint64) {
	out := make([]bool, len(a.Weights))
	for { // a line drops out in every round but the last
		rest, gone := a.Open, false
		sum = 0
		for l, w := range a.Weights {
			if out[l] || w <= 0 {
				rest -= min(a.Reserved[l], max(rest, 0))
				continue
			}
			sum += uint64(w)
		}
		parts = parts[:0]
		if rest <= 0 || sum == 0 {
			return nil, 0
		}
		for l, w := range a.Weights {
			if out[l] || w <= 0 {
				continue
			}
			hi, lo := bits.Mul64(uint64(rest), uint64(w))
			whole, beyond := bits.Div64(hi, lo, sum)
			if int64(whole) < a.Reserved[l] {
				out[l], gone = true, true
			}
			parts = append(parts, part{line: l, due: int64(whole) - a.Reserved[l], beyond: beyond})
		}
		if !gone {
			return parts, sum
		}
	}
}
