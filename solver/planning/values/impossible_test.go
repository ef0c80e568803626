package values_test

import (
	"fmt"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Of a row that the covering board does not give no board gives anything: crooked, tapered
// and turned boards, fixed blades, little travel, and rows that take lengths.
func TestSplitIsSound(t *testing.T) {
	rows, searched := 0, 0
	for seed := range uint64(brief.Fewer(40)) {
		r := lumber.Random(seed, 3)
		p := many(0, 0, 0)
		p.Items = nil
		s := &p.Saw
		s.Kerf, s.Step, s.Gap, s.LeastStrip, s.Trim = 3*mm, mm/2, 20*mm, 20*mm, 2*mm
		s.Fence = saw.Travel{Max: unit.Length(r.IntN(80)) * mm}
		s.Blades = nil
		at := unit.Length(r.IntN(120)) * mm
		for range 2 + r.IntN(4) {
			s.Blades = append(s.Blades, saw.Blade{At: at})
			at += s.Kerf + unit.Length(25+r.IntN(70))*mm
		}
		if seed%3 == 0 {
			s.Turns = []saw.Turning{{Turn: wood.EndForEnd}}
		}
		for i := range 40 {
			w := unit.Length(20+r.IntN(160)) * mm
			if k := r.IntN(len(s.Blades)); r.IntN(2) == 0 && k > 0 {
				w = s.Blades[k].At - s.Blades[r.IntN(k)].At - s.Kerf
			}
			it := order.Item{ID: fmt.Sprint(i), Min: w, Max: w, Measure: order.ByLength, Required: 300_000_000}
			if r.IntN(3) == 0 {
				it.LeastLength, it.GreatestLength = unit.Length(1000+r.IntN(2000))*mm, unit.Length(3000+r.IntN(500))*mm
			}
			p.Items = append(p.Items, it)
		}
		from := lumber.Spread{Mean: 150 * mm, Deviation: 40 * mm, Least: 60 * mm, Greatest: 260 * mm, Crook: 12 * mm, Taper: 10 * mm,
			Lengths: []lumber.LengthShare{{Length: 2400 * mm, Share: 1}, {Length: 3600 * mm, Share: 1}}}
		lot := values.Lot{ID: "lot"}
		for range 30 {
			lot.Kinds = append(lot.Kinds, lumber.Kind{Board: from.Draw(r), Count: 1})
		}
		p.Lots = []values.Lot{lot}
		pl, err := values.New(p)
		if err != nil {
			t.Fatal(seed, err)
		}
		_, never := values.Split(pl, &values.Options{})
		rows += len(p.Items)
		for _, k := range never {
			v := make([]int64, len(p.Items))
			v[k] = 1_000_000
			items, _ := pl.Demand.Priced(v, nil)
			for i := range lot.Kinds {
				got, err := demand.Solve(&rip.Problem{Saw: *s, Items: items, Board: lot.Kinds[i].Board}, rip.Options{})
				if err == nil && !got.Best.Worth.IsZero() {
					t.Errorf("seed %d: item %d, %g mm, is called impossible, but board %d gives it", seed, k, items[0].Min.MM(), i)
				}
				searched++
			}
		}
	}
	if searched == 0 || searched == rows*30 {
		t.Errorf("%d searches for %d rows: nothing was shown", searched, rows)
	}
}
