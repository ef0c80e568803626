package tally

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// someBoards draws sizes on coarse and fine lattices, so that exact halves and whole feet
// are common.
func someBoards(r *rand.Rand, most int) []Board {
	out := make([]Board, 1+r.IntN(most))
	for i := range out {
		grains := []unit.Length{1, unit.Millimetre / 10, unit.Inch / 64, unit.Inch / 4, unit.Inch / 2, unit.Inch}
		g := grains[r.IntN(len(grains))]
		w := g * unit.Length(1+r.Int64N(int64(20*unit.Inch/g)))
		grains = []unit.Length{1, unit.Millimetre, unit.Foot / 2, unit.Foot, unit.Foot}
		g = grains[r.IntN(len(grains))]
		l := g * unit.Length(1+r.Int64N(int64(20*unit.Foot/g)))
		out[i] = Board{Width: w, Length: l, Pieces: 1 + r.Int64N(3)*r.Int64N(2)}
		if r.IntN(2) == 0 {
			out[i].Thickness = unit.Length(1 + r.Int64N(int64(3*unit.Inch)))
		}
	}
	return out
}

func someThickness(r *rand.Rand) unit.Length {
	return unit.Inch / 4 * unit.Length(1+r.IntN(16))
}

// Splitting a pack in two leaves the volumes unchanged, and changes the others by no more
// than their rounding allows.
//
// Surface measure: of h exact halves ceil(h/2) are rounded up, in two parts ceil(h1/2) +
// ceil(h2/2), which is the same or 1 more. End tally: a half may be rounded up in the
// whole and down in the second part, but each rounds every other half up; the difference
// is a sum of lengths with alternating signs. Since the lengths need not decrease, it is
// bounded by the lengths of the halves in the second part. Block tally: rounding a sum
// and rounding its two parts differ by less than 3/2 in and by a whole number: at most 1
// in for each length.
func TestSplit(t *testing.T) {
	for seed := range uint64(brief.Fewer(3000)) {
		r := rand.New(rand.NewPCG(seed, 1))
		boards, nominal := someBoards(r, 40), someThickness(r)
		cut := r.IntN(len(boards) + 1)
		all, a, b := Measure(boards, nominal, nil), Measure(boards[:cut], nominal, nil), Measure(boards[cut:], nominal, nil)
		for _, rule := range []Rule{ExactVolume, MetricVolume} {
			sum := new(big.Rat).Add(a.BoardFeet(rule, nominal), b.BoardFeet(rule, nominal))
			if sum.Cmp(all.BoardFeet(rule, nominal)) != 0 {
				t.Fatalf("seed %d: rule %d: parts %s, whole %s", seed, rule, sum.RatString(), all.BoardFeet(rule, nominal).RatString())
			}
		}
		if d := a.Surface + b.Surface - all.Surface; d < 0 || d > 1 {
			t.Fatalf("seed %d: surface measure %d + %d, whole %d", seed, a.Surface, b.Surface, all.Surface)
		}
		var halves, blocks int64
		seen := map[int64]bool{}
		for _, x := range boards[cut:] {
			if 2*(x.Width%unit.Inch) == unit.Inch {
				halves += feet(x.Length) * x.Pieces
			}
		}
		for _, x := range boards {
			if f := feet(x.Length); !seen[f] {
				seen[f] = true
				blocks += f
			}
		}
		if d := a.End + b.End - all.End; d < -halves || d > halves {
			t.Fatalf("seed %d: end tally differs by %d, halves allow %d", seed, d, halves)
		}
		if d := a.Block + b.Block - all.Block; d < -blocks || d > blocks {
			t.Fatalf("seed %d: block tally differs by %d, lengths allow %d", seed, d, blocks)
		}
		if a.Pieces+b.Pieces != all.Pieces {
			t.Fatalf("seed %d: pieces %d + %d of %d", seed, a.Pieces, b.Pieces, all.Pieces)
		}
	}
}

// Rounding stays within its bound of the unrounded measure at the same whole feet: half a
// foot for each board, of which the exact halves add up to at most one half; half an inch
// of width for each board; half an inch for each block. Rounding lengths down only ever
// reduces a measure.
func TestRoundingIsBounded(t *testing.T) {
	for seed := range uint64(brief.Fewer(3000)) {
		r := rand.New(rand.NewPCG(seed, 2))
		boards := someBoards(r, 40)
		s := Measure(boards, unit.Inch, nil)
		raw := new(big.Rat) // inches times whole feet
		var odd, length, blocks int64
		var anyHalf bool
		seen := map[int64]bool{}
		for _, b := range boards {
			f := feet(b.Length)
			raw.Add(raw, new(big.Rat).SetFrac64(int64(b.Width)*f*b.Pieces, int64(unit.Inch)))
			if doubled := 2 * int64(b.Width) * f % (2 * 12 * int64(unit.Inch)); doubled == 12*int64(unit.Inch) {
				anyHalf = true
			} else if doubled != 0 {
				odd += b.Pieces
			}
			length += f * b.Pieces
			if !seen[f] {
				seen[f] = true
				blocks += f
			}
		}
		within := func(what string, got int64, parts int64, bound *big.Rat) {
			d := new(big.Rat).Sub(big.NewRat(got*parts, 1), raw)
			if d.Abs(d).Cmp(bound) > 0 {
				t.Fatalf("seed %d: %s %d is %s off, more than %s", seed, what, got, d.FloatString(6), bound.FloatString(6))
			}
		}
		bound := big.NewRat(12*odd, 2)
		if anyHalf {
			bound.Add(bound, big.NewRat(12, 2))
		}
		within("surface measure", s.Surface, 12, bound)
		within("end tally", s.End, 1, big.NewRat(length, 2))
		within("block tally", s.Block, 1, big.NewRat(blocks, 2))
		exact := s.BoardFeet(ExactVolume, unit.Inch)
		if raw.Mul(raw, big.NewRat(1, 12)).Cmp(exact) > 0 {
			t.Fatalf("seed %d: whole feet hold %s, the boards only %s", seed, raw.FloatString(6), exact.FloatString(6))
		}
	}
}

// Volumes do not depend on the order of the boards, and a line of several pieces equals
// that many lines of one.
func TestOrderAndLines(t *testing.T) {
	for seed := range uint64(brief.Fewer(500)) {
		r := rand.New(rand.NewPCG(seed, 3))
		boards, nominal := someBoards(r, 20), someThickness(r)
		var single []Board
		for _, b := range boards {
			one := b
			one.Pieces = 1
			for range b.Pieces {
				single = append(single, one)
			}
		}
		a, b := Measure(boards, nominal, nil), Measure(single, nominal, nil)
		for _, rule := range Rules() {
			if a.BoardFeet(rule, nominal).Cmp(b.BoardFeet(rule, nominal)) != 0 {
				t.Fatalf("seed %d: rule %d: lines %s, boards %s", seed, rule, a.BoardFeet(rule, nominal), b.BoardFeet(rule, nominal))
			}
		}
		r.Shuffle(len(single), func(i, j int) { single[i], single[j] = single[j], single[i] })
		c := Measure(single, nominal, nil)
		for _, rule := range []Rule{ExactVolume, MetricVolume, BlockTally} {
			if b.BoardFeet(rule, nominal).Cmp(c.BoardFeet(rule, nominal)) != 0 {
				t.Fatalf("seed %d: rule %d depends on the order", seed, rule)
			}
		}
		if b.Surface != c.Surface {
			t.Fatalf("seed %d: equal turns, yet %d and %d", seed, b.Surface, c.Surface)
		}
	}
}

// A scanned rectangle equals the rectangle; a scanned trapezoid has the face and widths
// of geometry, whichever end is the narrower.
func TestScanned(t *testing.T) {
	const mm = unit.Millimetre
	square := wood.Board{Length: 2400 * mm, Stations: []wood.Station{{X: 100 * mm, Near: 3 * mm, Far: 203 * mm}, {X: 2000 * mm, Near: 5 * mm, Far: 205 * mm}}}
	for _, at := range []TakenAt{AtThird, AtMean, AtLeast} {
		b := Scanned(&square, at)
		if b.Width != 200*mm {
			t.Errorf("place %d: width %v mm", at, b.Width.MM())
		}
		plain := Board{Width: 200 * mm, Length: 2400 * mm, Pieces: 1}
		if x, y := feetBy(ExactVolume, unit.Inch, b), feetBy(ExactVolume, unit.Inch, plain); x.Cmp(y) != 0 {
			t.Errorf("scan %s, rectangle %s", x, y)
		}
	}
	for _, ends := range [][2]unit.Length{{150 * mm, 240 * mm}, {240 * mm, 150 * mm}} {
		taper := wood.Board{Length: 3000 * mm, Stations: []wood.Station{{Far: ends[0]}, {X: 3000 * mm, Far: ends[1]}}}
		for at, w := range map[TakenAt]unit.Length{AtThird: 180 * mm, AtMean: 195 * mm, AtLeast: 150 * mm} {
			if b := Scanned(&taper, at); b.Width != w {
				t.Errorf("ends %v, place %d: width %v mm, want %v", ends, at, b.Width.MM(), w.MM())
			}
		}
		b := Scanned(&taper, AtThird)
		if twice := int64(2 * 3000 * 195); b.face.String() != big.NewInt(0).Mul(big.NewInt(twice), big.NewInt(1e12)).String() {
			t.Errorf("twice the face %s, want %d mm2", b.face, twice)
		}
	}
}
