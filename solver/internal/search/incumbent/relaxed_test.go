package incumbent

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// drawn is a clear board with items of random widths, values and caps, and how often each
// may be cut.
func drawn(r *rand.Rand) (p *Problem, often []int) {
	const mm, width = 1_000_000, 120
	b := &wood.Board{Length: 1000 * unit.Millimetre, Stations: []wood.Station{{Far: width * unit.Millimetre}}}
	p = &Problem{Kerf: (1 + r.Int64N(6)) * mm, Step: mm, Clear: wood.NewClear(b, 0), FullHi: width * mm, OuterHi: width * mm, Blades: make([]Blade, 1+r.IntN(5))}
	var value []int64
	for k := range 1 + r.IntN(5) {
		lo := (8 + r.Int64N(50)) * mm
		it := Item{Lo: lo, Hi: lo}
		if k == 0 && r.IntN(2) == 0 {
			it.Hi, it.ByWidth = lo+r.Int64N(30)*mm, true
		}
		often = append(often, len(p.Blades)+1)
		if r.IntN(2) == 0 {
			often[k] = 1 + r.IntN(2)
			it.Open = int64(often[k]) // a strip counts 1
		}
		p.Items, value = append(p.Items, it), append(value, 1+r.Int64N(1<<20))
	}
	p.Strip = func(k int, near, far int64, _ []wood.Stretch) (worth, amount int64) {
		if p.Items[k].ByWidth {
			return (far - near) / mm * value[k] << 20, 1
		}
		return value[k] << 26, 1
	}
	return p, often
}

// best gives the most that n strips bring in a width, by trying everything.
func best(h *heuristic, often []int, n int, width int64) (most int64) {
	if n == 0 {
		return 0
	}
	for k := range h.p.Items {
		if often[k] == 0 {
			continue
		}
		often[k]--
		it := &h.p.Items[k]
		for w := it.Lo; w <= min(it.Hi, width); w += h.p.Step {
			if !it.ByWidth && w > it.Lo {
				break
			}
			worth, _ := h.p.Strip(k, 0, w, nil)
			most = max(most, worth+best(h, often, n-1, width-w-h.p.Kerf))
		}
		often[k]++
	}
	return most
}

// No strips bring more than the relaxed problem, except for rounding, and one that is as
// wide as allowed brings as much.
func TestRelaxedIsABound(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	met := 0
	for i := range 400 {
		p, often := drawn(r)
		h := newHeuristic(p, Options{})
		x := h.relax()
		for n := 1; n <= min(len(p.Blades), 3); n++ {
			width := r.Int64N(p.OuterHi)
			exact, bound := best(h, often, n, width), x.rest(n, width)
			if bound < exact-1<<12 {
				t.Fatalf("problem %d: %d strips in %d nm bring %d, at most %d by the relaxed problem: %+v", i, n, width, exact, bound, p.Items)
			}
			if exact > 0 && bound-exact < 1<<12 {
				met++
			}
		}
		for k := range p.Items {
			if w, _ := p.Strip(k, 0, p.Items[k].Hi, nil); x.single(p.Items[k].Hi) < w-1<<12 {
				t.Fatalf("problem %d: a strip of item %d brings %d, at most %d by itself", i, k, w, x.single(p.Items[k].Hi))
			}
		}
	}
	if met < 50 {
		t.Errorf("the bound was met only %d times", met)
	}
}
