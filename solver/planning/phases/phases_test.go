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

func find(t *testing.T, p *Problem) *Plan {
	t.Helper()
	found, err := Find(p)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// The sequence found takes no more boards than the starting one, nearly always the fewest
// of all sequences, and what the phases make fills the order. Every stack comes once.
func TestFind(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 3))
	best, gains := 0, 0
	const problems = 40
	for range problems {
		p := drawn(r)
		found := find(t, p)
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
	if found := find(t, p); found == nil || math.Abs(found.Boards-15) > 1e-9 || len(found.Sets) != 2 {
		t.Errorf("%+v, want 15 boards", found)
	}
	p.Sets = 1
	if found := find(t, p); found != nil {
		t.Errorf("%+v with a limit of one set", found)
	}
	// Every second board is longer than the saw takes and gives nothing.
	p.Sets, p.Saw.Limits.MaxLength = 400, 2500*mm
	p.Boards = append(p.Boards, lumber.Kind{Board: wood.Board{Length: 3000 * mm, Stations: p.Boards[0].Board.Stations}, Count: 1})
	if found := find(t, p); found == nil || math.Abs(found.Boards-30) > 1e-9 {
		t.Errorf("%+v, want 30 boards", found)
	}
	p.Sets, p.Stop = 400, func() bool { return true }
	if found := find(t, p); found != nil {
		t.Errorf("%+v, stopped", found)
	}
}

// A board on which lengths combine in too many ways is not one that gives nothing.
func TestTooManyWays(t *testing.T) {
	p := drawn(rand.New(rand.NewPCG(1, 1)))
	p.Values = nil
	it := order.Item{ID: "a", Min: 53 * mm, Max: 53 * mm, CutKerf: 3 * mm}
	for k := range unit.Length(12) {
		it.Cuts = append(it.Cuts, order.Cut{Length: 201_003_000 + 37*mm*k + 10_000*(k*k*k%97), Limited: true, Required: 10, Value: 1})
		p.Values = append(p.Values, int64(it.Cuts[k].Length))
	}
	p.Demand, _ = demand.New([]order.Item{it})
	p.Stacks, p.In, p.Waits, p.Bays = []int{0}, nil, []int{0}, 1
	for length, fails := range map[unit.Length]bool{1000: false, 19_000: true} {
		p.Boards = []lumber.Kind{{Board: wood.Board{Length: length * mm, Stations: []wood.Station{{Far: 116 * mm}}}, Count: 1}}
		if found, err := Find(p); (err != nil) != fails || (found == nil) != fails {
			t.Errorf("%d mm: %+v %v", length, found, err)
		}
	}
}
