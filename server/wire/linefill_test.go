package wire

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// Worked out: strips of 70 mm, 6 m in all, lose 2 mm each to the joints, so 0.42 m2 leave
// 0.408, which is 0.68 m of a panel 600 mm wide.
func TestPanelsOfARun(t *testing.T) {
	const mm = unit.Millimetre
	l := &Line{OrderID: "o", Items: []order.Item{
		{ID: "stile", Min: 60 * mm, Max: 60 * mm},
		{ID: "panel", Random: true, Min: 40 * mm, Max: 90 * mm, Panel: 600 * mm, Joint: 2 * mm},
	}}
	r := &run.Run{}
	var area run.Sum
	area.AddProduct(int64(70*mm), 6_000_000)
	r.Totals.Tallies = []run.Tally{
		{Key: run.Key{Order: "o", Item: "panel"}, Strips: 3, Length: 6_000_000, Area: area},
		{Key: run.Key{Order: "o", Item: "stile"}, Strips: 1, Length: 6_000_000, Area: area},
		{Key: run.Key{Order: "before", Item: "panel"}, Strips: 1, Length: 6_000_000, Area: area},
	}
	items := l.Summary(r, &r.Totals).GetItems()
	if m := items[0].PanelM; m == nil || math.Abs(*m-0.68) > 1e-12 {
		t.Errorf("%v m of panel, want 0.68", m)
	}
	if items[1].PanelM != nil || items[2].PanelM != nil {
		t.Error("strips that are not glued up here make panels")
	}
}
