package metrics

import (
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// What was cut is counted by saw and use, blade by blade, and apart from what was
// planned.
func TestSettled(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	s := &run.Settled{Outcome: run.AsPlanned, Held: run.Held{Order: "o"}, Way: run.Way{
		Strips: []run.Strip{{Item: "a", Length: 2_500_000}, {Length: 500_000}},
		Parts:  run.Parts{Strip: unit.SquareMetre / 2, Kerf: unit.SquareMetre / 4, Other: unit.SquareMetre / 8},
		Blades: []run.BladeUse{{}, {Travel: 120 * unit.Millimetre, Cut: 2_400_000}},
	}}
	m.Settled("heron", s)
	m.Settled("heron", s)
	m.Settled("", &run.Settled{Outcome: run.SentBack})
	for what, got := range map[string]struct{ got, want float64 }{
		"as planned": {testutil.ToFloat64(m.cuts.boards.WithLabelValues("heron", "as_planned")), 2},
		"sent back":  {testutil.ToFloat64(m.cuts.boards.WithLabelValues(inline, "sent_back")), 1},
		"strip":      {testutil.ToFloat64(m.cuts.face.WithLabelValues("heron", "strip")), 1},
		"kerf":       {testutil.ToFloat64(m.cuts.face.WithLabelValues("heron", "kerf")), 0.5},
		"other":      {testutil.ToFloat64(m.cuts.face.WithLabelValues("heron", "other")), 0.25},
		"travel":     {testutil.ToFloat64(m.cuts.travel.WithLabelValues("heron", "1")), 0.24},
		"sawn":       {testutil.ToFloat64(m.cuts.sawn.WithLabelValues("heron", "1")), 4.8},
		"item":       {m.items.series[itemKey{"o", "a"}].cut, 5},
		"no item":    {m.items.otherCut, 1},
		"planned":    {m.items.series[itemKey{"o", "a"}].length, 0},
		"blade 0":    {testutil.ToFloat64(m.cuts.travel.WithLabelValues("heron", "0")), 0},
	} {
		if got.got != got.want {
			t.Errorf("%s: %g, want %g", what, got.got, got.want)
		}
	}
	m.Stands(&wire.Line{OrderID: "o", Items: []order.Item{{ID: "a", Measure: order.ByLength, Required: 9_000_000, Made: 1}}}, []int64{5_000_000})
	if e := m.items.series[itemKey{"o", "a"}]; e.made != 5 || e.required != 9 {
		t.Errorf("made %g of %g", e.made, e.required)
	}
	// Idle orders lose their series of cuts as well.
	now = now.Add(idleAfter + 1)
	if n := testutil.CollectAndCount(m.items, "ripwright_cut_strip_length_meters_total"); n != 1 {
		t.Errorf("%d series of an idle order", n-1)
	}
}
