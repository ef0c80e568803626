package metrics

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

const lengthName = "ripwright_planned_strip_length_meters_total"

// planned counts a board of which the one item makes a strip of one metre.
func planned(m *Metrics, orderID, itemID string) {
	m.Planned(&wire.Job{OrderID: orderID, SawName: "s", Problem: rip.Problem{Items: []order.Item{{ID: itemID}}}},
		&rip.Result{Best: &rip.Plan{Pockets: []rip.Pocket{{Item: 0, Counted: unit.Run(1_000_000)}}}}, 0)
}

func expect(t *testing.T, m *Metrics, series ...string) {
	t.Helper()
	want := "# HELP " + lengthName + " Counted length of planned strips, by order and item; only of orders seen lately, the rest under other.\n" +
		"# TYPE " + lengthName + " counter\n"
	for _, s := range series {
		want += lengthName + s + "\n"
	}
	if err := testutil.GatherAndCompare(m.Registry, strings.NewReader(want), lengthName); err != nil {
		t.Error(err)
	}
}

// Items of orders that are cut have series; those of idle orders are dropped.
func TestIdleOrdersAreDropped(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	planned(m, "o1", "stile")
	now = now.Add(idleAfter)
	planned(m, "o2", "stile")
	planned(m, "o2", "stile")
	expect(t, m, `{item="other",order=""} 0`, `{item="stile",order="o1"} 1`, `{item="stile",order="o2"} 2`)
	now = now.Add(1)
	expect(t, m, `{item="other",order=""} 0`, `{item="stile",order="o2"} 2`)
}

// However many ids callers think of, the series are bounded and no length is
// lost.
func TestSeriesAreBounded(t *testing.T) {
	m := New(func() time.Time { return time.Unix(1000, 0) })
	const more = 7
	for i := range maxItems + more {
		planned(m, "o", fmt.Sprint(i))
	}
	// An item that is called as the rest is belongs to the rest.
	planned(m, "", "other")
	if n := testutil.CollectAndCount(m.items, lengthName); n != maxItems+1 {
		t.Errorf("%d series", n)
	}
	families, err := m.Registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	sum, rest := 0.0, 0.0
	for _, f := range families {
		if f.GetName() != lengthName {
			continue
		}
		for _, s := range f.GetMetric() {
			sum += s.GetCounter().GetValue()
			if s.GetLabel()[1].GetValue() == "" {
				rest = s.GetCounter().GetValue()
			}
		}
	}
	if sum != maxItems+more+1 || rest != more+1 {
		t.Errorf("%g m in all, %g m in the rest", sum, rest)
	}
}

// What ended a search unproven is counted by its limit.
func TestUnproven(t *testing.T) {
	m := New(time.Now)
	for _, by := range []rip.Limit{rip.NoLimit, rip.TimeLimit, rip.TimeLimit, rip.WorkLimit} {
		m.Planned(&wire.Job{}, &rip.Result{Best: &rip.Plan{}, EndedBy: by}, 0)
	}
	for limit, want := range map[string]float64{"time": 2, "work": 1} {
		if got := testutil.ToFloat64(m.unproven.WithLabelValues(inline, limit)); got != want {
			t.Errorf("%s: %g, want %g", limit, got, want)
		}
	}
	if got := testutil.ToFloat64(m.boards.WithLabelValues(inline, "nothing")); got != 4 {
		t.Errorf("%g boards without a strip, want 4", got)
	}
}
