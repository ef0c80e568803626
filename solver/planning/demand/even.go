package demand

import (
	"math"
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// even solves a rectangular board without defects, on a saw whose blades all move, for
// items of one width each. All strips of an item are then alike and as long as the board,
// so the most valuable choice is a bounded knapsack: the board's width is its capacity,
// and the cap and the pockets limit the strips of each item. A dynamic programme over the
// stops across the board solves it exactly (Bellman 1957; Martello and Toth, Knapsack
// Problems, 1990). The strips are then laid side by side from the near edge, and the
// solver makes the plan for that setting. It reports false if the board, saw or items are
// of another kind, or if the blades cannot reach that setting: then a search is needed.
func even(p *rip.Problem, o rip.Options) (*rip.Result, bool) {
	if o.RunnersUp > 0 || o.Floor.Cmp(unit.Worth{}) > 0 || o.Stop != nil && o.Stop() {
		return nil, false
	}
	if len(p.Faults()) > 0 {
		return nil, false
	}
	k, ok := newSack(p)
	if !ok || !k.fill(o) {
		return nil, false
	}
	blades, ok := k.lay()
	if !ok {
		return nil, false
	}
	// Whatever Check refuses or finds otherwise is left to the search, which decides.
	c, err := rip.Check(k.free(), 0, k.fence, blades, rip.Options{Stop: o.Stop})
	if err != nil || len(c.Broken) > 0 || c.Plan.Worth.Big().Cmp(k.worth) != 0 || !k.asChosen(c.Plan) {
		return nil, false
	}
	return &rip.Result{Best: c.Plan, Bound: c.Plan.Worth, Proven: true, Work: k.work}, true
}

// free gives the problem without caps. With caps, assigning items to the pockets of a
// setting must weigh all ways to leave some out; the choice already keeps to the caps.
func (k *sack) free() *rip.Problem {
	q := *k.p
	q.Items = slices.Clone(k.p.Items)
	for i := range q.Items {
		it := &q.Items[i]
		it.Measure, it.Required, it.Made = order.Unlimited, 0, 0
	}
	return &q
}

// asChosen reports whether a plan has the chosen strips.
func (k *sack) asChosen(p *rip.Plan) bool {
	left := make([]int, len(k.sorts))
	for _, i := range k.chosen {
		left[i]++
	}
	for i := range p.Pockets {
		if item := p.Pockets[i].Item; item != rip.None {
			left[item]--
		}
	}
	return !slices.ContainsFunc(left, func(n int) bool { return n != 0 })
}

// sack is the knapsack of such a board.
type sack struct {
	p       *rip.Problem
	room    int         // stops from the blade, or the edge in its place, before the first strip
	start   unit.Length // height of that blade
	pockets int
	sorts   []sort
	per     *big.Int // worth of one unit of a sort's worth
	fence   unit.Length

	best   []int64 // worth by the number of strips and the room for them
	chosen []int   // the sort of each strip
	worth  *big.Int
	work   int64
	steps  int // steps of the programme that does not count strips
}

// sort is an item.
type sort struct {
	stops int // from one of its blades to the other
	worth int64
	most  int
	many  bool // its cap allows as many as there is room for
}

// mostSteps limits the programme: larger ones are left to the search.
const mostSteps = 60_000_000

func newSack(p *rip.Problem) (*sack, bool) {
	b, s := &p.Board, &p.Saw
	near, far, ok := rectangle(p)
	if !ok || s.Rerip.Width > 0 || s.Skew > 0 && !b.StraightNear {
		return nil, false
	}
	for _, blade := range s.Blades {
		if !blade.Moving {
			return nil, false
		}
	}
	k := &sack{p: p, pockets: len(s.Blades) - 1, fence: s.StepUp(s.Fence.Min)}
	k.start = s.StepUp(near + s.Trim - s.Kerf)
	if b.StraightNear {
		if near != 0 || s.Kerf%s.Step != 0 {
			return nil, false
		}
		k.start = -s.Kerf
		k.pockets++
	}
	k.room = int((far - s.Trim - k.start) / s.Step)
	if far-s.Trim < k.start || k.pockets < 1 {
		return nil, false
	}
	worths := make([]*big.Int, len(p.Items))
	for i := range p.Items {
		it := &p.Items[i]
		most, worth, ok := k.sort(it)
		if !ok {
			return nil, false
		}
		off := it.Off(s.Step)
		stops := int(unit.CeilDiv(int64(s.Kerf+max(it.Min-off, s.LeastStrip)), int64(s.Step)))
		width := unit.Length(stops)*s.Step - s.Kerf
		switch {
		case width > it.Min+off:
			most = 0 // no two stops are so far apart
		case width < s.Gap:
			return nil, false // it fits only beside a straight edge
		}
		fit := min(k.pockets, k.room/stops)
		k.sorts = append(k.sorts, sort{stops: stops, most: min(most, fit), many: most >= fit})
		worths[i] = worth
	}
	return k, k.scale(worths)
}

// rectangle gives the edges of a board with straight parallel edges and no defects.
func rectangle(p *rip.Problem) (near, far unit.Length, ok bool) {
	b := &p.Board
	if len(b.Defects) > 0 {
		return 0, 0, false
	}
	near, far = b.Stations[0].Near, b.Stations[0].Far
	for _, st := range b.Stations {
		if st.Near != near || st.Far != far {
			return 0, 0, false
		}
	}
	return near, far, true
}

// sort gives the number of strips of an item that its cap allows, and the worth of each.
func (k *sack) sort(it *order.Item) (most int, worth *big.Int, ok bool) {
	b := &k.p.Board
	if it.Random || len(it.Cuts) > 0 {
		return 0, nil, false
	}
	if it.GreatestLength > 0 && b.Length > it.GreatestLength || it.LeastLength > b.Length {
		return 0, new(big.Int), true
	}
	run := int64(b.Length.Floor())
	w := it.Worth(it.Min, run)
	most = math.MaxInt
	if open, limited := it.Open(); limited {
		each := int64(1)
		switch {
		case it.Measure == order.ByLength:
			each = run
		case it.Measure == order.ByArea || it.PieceLength > 0:
			return 0, nil, false
		}
		// All strips but one total less than what is open.
		if most = 0; open > 0 && each > 0 {
			most = int((open-1)/each) + 1
		}
	}
	return most, w.Big(), true
}

// scale converts the worths to whole numbers small enough for the programme's sums.
func (k *sack) scale(worths []*big.Int) bool {
	k.per = new(big.Int)
	for _, w := range worths {
		k.per.GCD(nil, nil, k.per, w)
	}
	if k.per.Sign() == 0 {
		return false // nothing is worth anything
	}
	for i, w := range worths {
		q := new(big.Int).Quo(w, k.per)
		if q.BitLen() > 50 {
			return false
		}
		f := &k.sorts[i]
		if f.worth = q.Int64(); f.worth == 0 {
			f.most = 0
		}
		copies := f.most
		if f.many {
			copies = min(copies, 1)
		}
		k.steps += copies * k.room
	}
	return k.steps <= mostSteps && k.pockets < 1<<12
}

// lay sets the blades: one strip after another, and the remaining blades beyond them. It
// reports false if a blade would be outside its travel.
func (k *sack) lay() (blades []unit.Length, ok bool) {
	s := &k.p.Saw
	y := k.start
	if !k.p.Board.StraightNear {
		blades = append(blades, y+k.fence)
	}
	for _, i := range k.chosen {
		y += unit.Length(k.sorts[i].stops) * s.Step
		blades = append(blades, y+k.fence)
	}
	for i := range s.Blades {
		t := s.Blades[i].Travel
		if i >= len(blades) {
			a := s.StepUp(t.Min)
			if i > 0 {
				a = max(a, s.StepUp(blades[i-1]+s.Kerf+s.Gap))
			}
			blades = append(blades, a)
		}
		if blades[i] < t.Min || blades[i] > t.Max {
			return nil, false
		}
	}
	return blades, len(blades) == len(s.Blades)
}
