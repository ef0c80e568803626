package phases

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// drawn is an order of a few widths from boards of two widths.
func drawn(r *rand.Rand) *Problem {
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Fence: saw.Travel{Max: 100 * mm, Current: 100 * mm},
		Blades: []saw.Blade{{At: 100 * mm}, {Moving: true, Travel: saw.Travel{Max: 300 * mm, Current: 150 * mm}}, {Moving: true, Travel: saw.Travel{Max: 400 * mm, Current: 250 * mm}}}}
	p := &Problem{Saw: s, Bays: 2, In: []int{0}, Work: 100_000, Sets: 400}
	var items []order.Item
	for i := range 4 + r.IntN(2) {
		w := unit.Length(40+r.IntN(50)) * mm
		items = append(items, order.Item{ID: string(rune('a' + i)), Min: w, Max: w, Measure: order.ByLength, Required: int64(20+r.IntN(60)) * 1_000_000, Value: 1})
		p.Stacks = append(p.Stacks, i)
		if i > 0 {
			p.Waits = append(p.Waits, i)
		}
		p.Values = append(p.Values, int64(w/mm)*1_000_000)
	}
	p.Demand, _ = demand.New(items)
	for range 2 {
		width := unit.Length(110+r.IntN(100)) * mm
		p.Boards = append(p.Boards, lumber.Kind{Board: wood.Board{Length: 2000 * mm, Stations: []wood.Station{{Far: width}}}, Count: int64(1 + r.IntN(3))})
	}
	return p
}

// permutations calls f with every sequence of all.
func permutations(all []int, f func([]int)) {
	var next func(k int)
	next = func(k int) {
		if k == len(all) {
			f(all)
			return
		}
		for i := k; i < len(all); i++ {
			all[k], all[i] = all[i], all[k]
			next(k + 1)
			all[k], all[i] = all[i], all[k]
		}
	}
	next(0)
}

// The sequence found takes no more boards than the starting one, nearly always the fewest
// of all sequences, and what the phases make fills the order. Every stack comes once.
func TestFind(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 3))
	best, gains := 0, 0
	const problems = 40
	for range problems {
		p := drawn(r)
		found := Find(p)
		if found == nil || len(found.Waits) != len(p.Waits) {
			t.Fatalf("%+v", found)
		}
		least, first := math.Inf(1), 0.0
		all := append([]int{}, p.Waits...)
		permutations(all, func(w []int) {
			q := *p
			q.Waits = append([]int{}, w...)
			s := begin(&q)
			if one := s.cut(q.Waits); one.Boards < least {
				least = one.Boards
			}
		})
		first = begin(p).cut(p.Waits).Boards
		if found.Boards > first || found.Boards < least*(1-1e-9) {
			t.Errorf("%g boards; %g by the first sequence, %g at least", found.Boards, first, least)
		}
		if found.Boards <= least*(1+1e-6) {
			best++
		}
		if found.Boards < first*0.99 {
			gains++
		}
		seen := map[int]int{}
		for _, set := range found.Sets {
			if len(set) > p.Bays {
				t.Errorf("%v have %d bays", set, p.Bays)
			}
			for _, s := range set {
				seen[s]++
			}
		}
		if len(seen) != len(p.Stacks) {
			t.Errorf("phases %v of %d stacks", found.Sets, len(p.Stacks))
		}
	}
	t.Logf("%d of %d are the best sequence, %d better than the first", best, problems, gains)
	if best < problems*8/10 || gains == 0 {
		t.Errorf("%d of %d are the best sequence, %d better than the first", best, problems, gains)
	}
}

// By hand: boards of 110 mm give two strips of 53 mm. One item after the other in one bay
// takes the sum of both; a limit of sets ends the search.
func TestOneBay(t *testing.T) {
	p := drawn(rand.New(rand.NewPCG(1, 1)))
	items := []order.Item{
		{ID: "a", Min: 53 * mm, Max: 53 * mm, Measure: order.ByLength, Required: 40_000_000, Value: 1},
		{ID: "b", Min: 50 * mm, Max: 50 * mm, Measure: order.ByLength, Required: 20_000_000, Value: 1},
	}
	p.Demand, _ = demand.New(items)
	p.Values, p.Stacks, p.In, p.Waits, p.Bays = []int64{1e6, 1e6}, []int{0, 1}, []int{0}, []int{1}, 1
	p.Boards = []lumber.Kind{{Board: wood.Board{Length: 2000 * mm, Stations: []wood.Station{{Far: 116 * mm}}}, Count: 1}}
	if found := Find(p); found == nil || math.Abs(found.Boards-15) > 1e-9 || len(found.Sets) != 2 {
		t.Errorf("%+v, want 15 boards", found)
	}
	p.Sets = 1
	if found := Find(p); found != nil {
		t.Errorf("%+v with a limit of one set", found)
	}
	p.Sets, p.Stop = 400, func() bool { return true }
	if found := Find(p); found != nil {
		t.Errorf("%+v, stopped", found)
	}
}
