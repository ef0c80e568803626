// Package oracle solves small rip problems by trying everything: every fence
// stop, every stop of every moving blade, every assignment of items to pockets.
// It is slow, written from the model and not from the search, and exists only to
// check the search against. Nothing but tests imports it.
package oracle

import (
	"fmt"
	"math/big"
	"sort"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
)

// Plan is what a plan is compared by, and what it is.
type Plan struct {
	Net                       *big.Int // worth less the cost of KindsLess; nil: none
	Worth                     *big.Int // units of 1e-21
	Dev, Area, Blades, Travel int64
	Skew, Fence               int64
	Pos                       []int64 // blades
	Items                     []int   // by pocket, -1 none
}

// String gives everything that two equal plans have in common.
func (a *Plan) String() string {
	return fmt.Sprint(a.Worth, a.Dev, a.Area, a.Blades, a.Travel, a.Skew, a.Fence, a.Pos, a.Items)
}

func (a *Plan) less(b *Plan) bool { // a better
	if a.Net != nil {
		if c := a.Net.Cmp(b.Net); c != 0 {
			return c > 0
		}
	}
	if c := a.Worth.Cmp(b.Worth); c != 0 {
		return c > 0
	}
	if a.Dev != b.Dev {
		return a.Dev < b.Dev
	}
	if a.Area != b.Area {
		return a.Area > b.Area
	}
	if a.Blades != b.Blades {
		return a.Blades < b.Blades
	}
	if a.Travel != b.Travel {
		return a.Travel < b.Travel
	}
	if a.Skew != b.Skew {
		return a.Skew < b.Skew
	}
	if a.Fence != b.Fence {
		return a.Fence < b.Fence
	}
	for i := range a.Pos {
		if a.Pos[i] != b.Pos[i] {
			return a.Pos[i] < b.Pos[i]
		}
	}
	for i := range a.Items {
		if a.Items[i] != b.Items[i] {
			return uint(a.Items[i]) < uint(b.Items[i])
		}
	}
	return false
}

// Kinds gives the best plan of each multiset of items, best first: the first is
// the optimum, the others are its runners-up.
func Kinds(p *rip.Problem) []*Plan { return KindsLess(p, nil) }

// KindsLess is Kinds where a plan costs something, in units of 1e-21, by the
// longest move of an axis that it asks for in nanometres.
func KindsLess(p *rip.Problem, cost func(move int64) *big.Int) []*Plan {
	kinds := map[string]*Plan{}
	for skew := -p.Saw.Skew / p.Saw.Step * p.Saw.Step; skew <= p.Saw.Skew; skew += p.Saw.Step {
		if skew == 0 || !p.Board.StraightNear {
			at := Skewed(p, int64(skew))
			kindsAt(&at, int64(skew), cost, kinds)
		}
	}
	all := make([]*Plan, 0, len(kinds))
	for _, k := range kinds {
		all = append(all, k)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].less(all[j]) })
	return all
}

// kindsAt tries all settings for a board as it lies.
func kindsAt(p *rip.Problem, skew int64, cost func(int64) *big.Int, kinds map[string]*Plan) {
	s, b := &p.Saw, &p.Board
	n := len(s.Blades)
	nearMax, farMin := int64(-1<<60), int64(1<<60)
	nearMin, farMax := int64(1<<60), int64(-1<<60)
	for _, st := range b.Stations {
		nearMax, farMin = max(nearMax, int64(st.Near)), min(farMin, int64(st.Far))
		nearMin, farMax = min(nearMin, int64(st.Near)), max(farMax, int64(st.Far))
	}
	bandLo, bandHi := nearMax+int64(s.Trim), farMin-int64(s.Trim)
	if b.StraightNear {
		bandLo = nearMax
	}
	lum := int64(b.Length) / 1000
	type key struct {
		l, r int64
	}
	cache := map[key][][2]int64{}
	runs := func(l, r int64) [][2]int64 {
		k := key{l, r}
		if v, ok := cache[k]; ok {
			return v
		}
		v := runsOf(b, int64(s.Trim), l, r)
		cache[k] = v
		return v
	}
	again := func(l, r int64) *big.Int {
		w := min(r, bandHi) - max(l, bandLo)
		z := new(big.Int)
		if s.Rerip.Width > 0 && w >= int64(s.Rerip.Width) {
			z.Mul(big.NewInt(s.Rerip.Value), big.NewInt(w))
			z.Mul(z, big.NewInt(lum))
		}
		return z
	}
	abs := func(v int64) int64 { return max(v, -v) }
	step := int64(s.Step)
	stops := func(t saw.Travel) (v []int64) {
		for x := -int64(400e6) / step * step; x <= int64(400e6); x += step {
			if x >= int64(t.Min) && x <= int64(t.Max) {
				v = append(v, x)
			}
		}
		return
	}
	bst := make([][]int64, n)
	for j, bl := range s.Blades {
		if bl.Moving {
			bst[j] = stops(bl.Travel)
		} else {
			bst[j] = []int64{int64(bl.At)}
		}
	}
	pos := make([]int64, n)
	evalPos := func(f int64) {
		base := &Plan{Worth: new(big.Int), Skew: skew, Fence: f, Travel: abs(f - int64(s.Fence.Current))}
		move := base.Travel
		for j := range pos {
			if s.Blades[j].Moving {
				d := abs(pos[j] - int64(s.Blades[j].Travel.Current))
				base.Travel += d
				move = max(move, d)
			}
			y := pos[j] - f
			if inWood(b, y, y+int64(s.Kerf)) {
				base.Blades++
			}
		}
		type pk struct{ l, r int64 }
		var pks []pk
		if b.StraightNear {
			pks = append(pks, pk{0, pos[0] - f})
		} else {
			base.Worth.Add(base.Worth, again(-1<<50, pos[0]-f))
		}
		for j := 1; j < n; j++ {
			l := pos[j-1] + int64(s.Kerf) - f
			if b.StraightNear {
				l = max(l, 0)
			}
			pks = append(pks, pk{l, pos[j] - f})
		}
		base.Worth.Add(base.Worth, again(pos[n-1]+int64(s.Kerf)-f, 1<<50))
		items := make([]int, len(pks))
		amts := make([]int64, len(pks))
		var rec func(i int, cur Plan)
		rec = func(i int, cur Plan) {
			if i == len(pks) {
				cur.Pos = pos
				cur.Items = items
				if cost != nil {
					cur.Net = new(big.Int).Sub(cur.Worth, cost(move))
				}
				var ks []int
				for _, it := range items {
					if it >= 0 {
						ks = append(ks, it)
					}
				}
				sort.Ints(ks)
				k := fmt.Sprint(ks)
				if o := kinds[k]; o == nil || cur.less(o) {
					c := cur
					c.Pos = append([]int64{}, pos...)
					c.Items = append([]int{}, items...)
					kinds[k] = &c
				}
				return
			}
			l, r := pks[i].l, pks[i].r
			w := r - l
			for k := range p.Items {
				it := &p.Items[k]
				if w < int64(s.LeastStrip) || w <= 0 {
					continue
				}
				if it.Random {
					if w < int64(it.Min) || w > int64(it.Max) {
						continue
					}
				} else if d := abs(w - int64(it.Min)); 2*d > step && d > int64(it.Tolerance) {
					continue
				}
				if it.GreatestLength > 0 && b.Length > it.GreatestLength {
					continue
				}
				if it.Measure != order.Unlimited && it.Made >= it.Required {
					continue
				}
				var cnt, pcs, cuts int64
				for _, rn := range Bare(b, it, l, r, runs(l, r)) {
					if d := rn[1] - rn[0]; d*1000 >= int64(it.LeastLength) {
						if len(it.Cuts) > 0 {
							v, ok := Pack(it, d)
							if !ok {
								continue
							}
							cuts += v
						}
						cnt += d
						if it.PieceLength > 0 {
							pcs += d * 1000 / int64(it.PieceLength)
						}
					}
				}
				if cnt == 0 {
					continue
				}
				if it.PieceLength == 0 {
					pcs = 1
				}
				var amt, open int64
				open = it.Required - it.Made
				switch it.Measure {
				case order.ByLength:
					amt = cnt
				case order.ByArea:
					amt = (w - int64(it.Joint)) * cnt
					open *= 1000
				case order.ByPieces:
					amt = pcs
				}
				items[i], amts[i] = k, amt
				if it.Measure != order.Unlimited {
					sum, mx := int64(0), int64(0)
					for j := 0; j <= i; j++ {
						if items[j] == k {
							sum += amts[j]
							mx = max(mx, amts[j])
						}
					}
					if sum-mx >= open {
						continue
					}
				}
				nx := cur
				v := new(big.Int).SetInt64(it.Value)
				switch {
				case len(it.Cuts) > 0:
					v.SetInt64(cuts).Mul(v, big.NewInt(1e15))
				case it.Basis == order.PerArea:
					ww := int64(it.Min)
					if it.Random {
						ww = w
					}
					v.Mul(v, big.NewInt(ww)).Mul(v, big.NewInt(cnt))
				case it.Basis == order.PerLength:
					v.Mul(v, big.NewInt(1e9)).Mul(v, big.NewInt(cnt))
				case it.Basis == order.PerPiece:
					v.Mul(v, big.NewInt(1e15))
				}
				nx.Worth = new(big.Int).Add(cur.Worth, v)
				if !it.Random {
					nx.Dev += abs(w - int64(it.Min))
				}
				nx.Area += w * cnt
				rec(i+1, nx)
			}
			items[i], amts[i] = -1, 0
			nx := cur
			nx.Worth = new(big.Int).Add(cur.Worth, again(l, r))
			rec(i+1, nx)
		}
		rec(0, *base)
	}
	var place func(j int, f int64)
	place = func(j int, f int64) {
		if j == n {
			evalPos(f)
			return
		}
		for _, x := range bst[j] {
			if j > 0 && x-pos[j-1]-int64(s.Kerf) < int64(s.Gap) {
				continue
			}
			pos[j] = x
			place(j+1, f)
		}
	}
	for _, f := range stops(s.Fence) {
		place(0, f)
	}
}
