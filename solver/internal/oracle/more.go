package oracle

import (
	"math/big"
	"math/rand"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Grow adds defects, crosscut lengths, joints and skew to a problem, from a seed.
func Grow(p *rip.Problem, seed int64) {
	r := rand.New(rand.NewSource(seed * 7919))
	kinds := []string{"knot", "sound_knot", "stain"}
	b := &p.Board
	for range 1 + r.Intn(4) {
		x, y := r.Int63n(int64(b.Length)*9/10), r.Int63n(100_000_000)
		long := 1 + r.Int63n(int64(b.Length)-x)/int64(1+r.Intn(6))
		b.Defects = append(b.Defects, wood.Defect{FromX: unit.Length(x), ToX: unit.Length(x + long),
			FromY: unit.Length(y), ToY: unit.Length(y + 1 + r.Int63n(40_000_000)), Kind: kinds[r.Intn(3)]})
	}
	if r.Intn(3) == 0 {
		p.Saw.Skew = p.Saw.Step * unit.Length(1+r.Intn(2))
	}
	for i := range p.Items {
		it := &p.Items[i]
		for _, k := range kinds {
			if r.Intn(3) == 0 {
				it.Accepts = append(it.Accepts, k)
			}
		}
		if it.Random && r.Intn(3) == 0 {
			it.Panel, it.Joint = 400*unit.Millimetre, min(unit.Length(r.Int63n(3_000_000)), it.Min-1)
		}
		if r.Intn(2) == 0 {
			continue
		}
		it.Value, it.Basis = 0, order.PerArea
		if it.Measure == order.ByPieces {
			it.Measure, it.Required, it.Made, it.PieceLength = order.Unlimited, 0, 0, 0
		}
		it.CutKerf, it.EndTrim = unit.Length(r.Int63n(5))*unit.Millimetre, unit.Length(r.Int63n(4)*r.Int63n(6))*unit.Millimetre
		for range 1 + r.Intn(3) {
			c := order.Cut{Length: unit.Length(60+r.Int63n(300)) * unit.Millimetre, Value: r.Int63n(20) * 1000}
			if r.Intn(2) == 0 {
				c.Limited, c.Required = true, r.Int63n(4)
				c.Made = r.Int63n(2)
			}
			if !slices.ContainsFunc(it.Cuts, func(o order.Cut) bool { return o.Length == c.Length }) {
				it.Cuts = append(it.Cuts, c)
			}
		}
	}
}

// Bare takes the refused defects out of runs: from every run, one defect after
// the other.
func Bare(b *wood.Board, it *order.Item, l, r int64, runs [][2]int64) [][2]int64 {
	for _, d := range b.Defects {
		if slices.Contains(it.Accepts, d.Kind) || int64(d.FromY) >= r || int64(d.ToY) <= l {
			continue
		}
		from := new(big.Int).Div(big.NewInt(int64(d.FromX)), big.NewInt(1000)).Int64()
		to := -new(big.Int).Div(big.NewInt(-int64(d.ToX)), big.NewInt(1000)).Int64()
		var left [][2]int64
		for _, run := range runs {
			for _, part := range [][2]int64{{run[0], min(run[1], from)}, {max(run[0], to), run[1]}} {
				if part[0] < part[1] && !slices.Contains(left, part) {
					left = append(left, part)
				}
			}
		}
		runs = left
	}
	return runs
}

// Pack gives the best value of pieces cut from a run in micrometres, by trying
// every number of every length, and how long they are; ok is false where not one
// piece can be had.
func Pack(it *order.Item, run int64) (value int64, ok bool) {
	room := run*1000 - 2*int64(it.EndTrim)
	best := int64(-1)
	var try func(k int, room, value, pieces int64)
	try = func(k int, room, value, pieces int64) {
		if k == len(it.Cuts) {
			if pieces > 0 {
				best = max(best, value)
			}
			return
		}
		c := &it.Cuts[k]
		for n := int64(0); ; n++ {
			if c.Limited && n > max(c.Required-c.Made, 0) {
				return
			}
			need := n * int64(c.Length)
			if n+pieces > 0 && n > 0 {
				need += n * int64(it.CutKerf)
				if pieces == 0 {
					need -= int64(it.CutKerf) // none before the first piece
				}
			}
			if need > room {
				return
			}
			try(k+1, room-need, value+n*c.Value, pieces+n)
		}
	}
	try(0, room, 0, 0)
	return best, best >= 0
}

// Skewed gives the problem with the board set at a skew in nanometres per metre,
// worked out in rational numbers and rounded to whole nanometres, halves away
// from zero.
func Skewed(p *rip.Problem, skew int64) rip.Problem {
	q := *p
	if skew == 0 {
		return q
	}
	shift := func(x unit.Length) unit.Length {
		v := big.NewRat(skew, 1_000_000_000)
		v.Mul(v, new(big.Rat).SetInt64(int64(x)))
		half := big.NewRat(1, 2)
		if v.Sign() < 0 {
			half.Neg(half)
		}
		v.Add(v, half)
		return unit.Length(new(big.Int).Quo(v.Num(), v.Denom()).Int64())
	}
	b := &q.Board
	st := slices.Clone(b.Stations)
	if s := st[0]; s.X > 0 {
		st = slices.Insert(st, 0, wood.Station{Near: s.Near, Far: s.Far})
	}
	if s := st[len(st)-1]; s.X < b.Length {
		st = append(st, wood.Station{X: b.Length, Near: s.Near, Far: s.Far})
	}
	var low []unit.Length
	for _, s := range st {
		low = append(low, s.Near+shift(s.X))
	}
	m := slices.Min(low)
	for i := range st {
		st[i].Near += shift(st[i].X) - m
		st[i].Far += shift(st[i].X) - m
	}
	b.Stations = st
	b.Defects = slices.Clone(b.Defects)
	for i := range b.Defects {
		d := &b.Defects[i]
		ys := []unit.Length{d.FromY + shift(d.FromX) - m, d.FromY + shift(d.ToX) - m, d.ToY + shift(d.FromX) - m, d.ToY + shift(d.ToX) - m}
		d.FromY, d.ToY = slices.Min(ys), slices.Max(ys)
	}
	return q
}
