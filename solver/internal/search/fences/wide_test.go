package fences_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// 1900 mm at 0.01 mm, as wide and as fine as anybody needs, fit 64 MiB: about 190,000
// heights, and tens of thousands of fences that tie.
func TestWideAndFine(t *testing.T) {
	const mm = unit.Millimetre
	b := wood.Board{Length: 3000 * mm, Stations: []wood.Station{
		{X: 0, Near: 0, Far: 1900 * mm}, {X: 1500 * mm, Near: 7 * mm, Far: 1893 * mm}, {X: 3000 * mm, Near: 2 * mm, Far: 1899 * mm}}}
	var items []order.Item
	for i := range 20 {
		w := unit.Length(4000+i*877+i*i*13) * mm / 100
		items = append(items, order.Item{ID: string(rune('a' + i)), Min: w, Max: w, Value: int64(8_000_000 + i*137_000%900_000), LeastLength: 500 * mm})
	}
	items = append(items, order.Item{ID: "range", Min: 40 * mm, Max: 110 * mm, Random: true, Value: 8_200_000, LeastLength: 500 * mm})
	arbors := []string{"MMFMM", "FFMM", "FMMM"}
	for _, arbor := range arbors[:brief.Fewer(len(arbors))] {
		s := saw.Saw{Kerf: 4 * mm, Step: mm / 100, Gap: 25 * mm, LeastStrip: 25 * mm}
		s.Fence = saw.Travel{Max: 400 * mm, Current: 100 * mm}
		for j, c := range arbor {
			at := unit.Length(300+250*j) * mm
			bl := saw.Blade{At: at}
			if c == 'M' {
				bl = saw.Blade{Moving: true, Travel: saw.Travel{Min: at - 2000*mm, Max: at + 2000*mm, Current: at}}
			}
			s.Blades = append(s.Blades, bl)
		}
		if !fences.Serves(&b, &s) {
			t.Errorf("%s is not served", arbor)
			continue
		}
		budget := budget.New(budget.Limits{Memory: 64 << 20})
		r := fences.Solve(model.New(&b, &s, items), budget)
		_, most := budget.Held()
		if !r.Proven {
			t.Errorf("%s: not proven: reason %d, %d MiB", arbor, r.Open, most>>20)
		}
		t.Logf("%s: %d fences looked at, %d MiB, %d steps", arbor, r.Fences, most>>20, budget.Work())
	}
}
