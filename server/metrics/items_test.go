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
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

const (
	lengthName = "ripwright_planned_strip_length_meters_total"
	plannedBy  = "token:office"
)

// planned counts a board of which the one item makes a strip of one metre.
func planned(m *Metrics, orderID, itemID string) {
	m.Planned(plannedBy, &wire.Job{OrderID: orderID, Mark: wire.Mark{Saw: "s"}, Problem: rip.Problem{Items: []order.Item{{ID: itemID}}}},
		&rip.Result{Best: &rip.Plan{Pockets: []rip.Pocket{{Item: 0, Counted: unit.Run(1_000_000)}}}}, 0)
}

func expect(t *testing.T, m *Metrics, series ...string) {
	t.Helper()
	want := "# HELP " + lengthName + " Counted length of planned strips, by order and item; only of orders seen lately; all others are under other.\n" +
		"# TYPE " + lengthName + " counter\n"
	for _, s := range series {
		want += lengthName + s + "\n"
	}
	if err := testutil.GatherAndCompare(m.Registry, strings.NewReader(want), lengthName); err != nil {
		t.Error(err)
	}
}

// Items of orders in use have series; those of orders that nobody saw for a day are
// dropped.
func TestIdleOrdersAreDropped(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	planned(m, "o1", "stile")
	now = now.Add(orderKept)
	planned(m, "o2", "stile")
	planned(m, "o2", "stile")
	expect(t, m, `{item="other",order=""} 0`, `{item="stile",order="o1"} 1`, `{item="stile",order="o2"} 2`)
	wants(t, m, 1000, "ripwright_order_seen_timestamp_seconds", "o1")
	wants(t, m, 1000+orderKept.Seconds(), "ripwright_order_seen_timestamp_seconds", "o2")
	now = now.Add(1)
	expect(t, m, `{item="other",order=""} 0`, `{item="stile",order="o2"} 2`)
}

// A board for two orders counts each strip for its own order, planned and cut, also if
// items of both have the same name.
func TestTwoOrders(t *testing.T) {
	m := New(func() time.Time { return time.Unix(1000, 0) })
	items := []order.Item{{ID: "stile"}}
	l := &wire.Line{OrderID: "o2", Items: items, More: []wire.Item{{}}}
	j := &wire.Job{OrderID: "o1", Items: []wire.Item{{}}, Problem: rip.Problem{Items: order.CloneItems(items)}}
	j.Join(l, order.CloneItems(items))
	m.Stands(plannedBy, l, items)
	metre := unit.Run(1_000_000)
	m.Planned(plannedBy, j, &rip.Result{Best: &rip.Plan{Pockets: []rip.Pocket{{Item: 0, Counted: metre}, {Item: 1, Counted: 3 * metre}, {Item: rip.None}}}}, 0)
	expect(t, m, `{item="other",order=""} 0`, `{item="stile",order="o1"} 1`, `{item="stile",order="o2"} 3`)
	m.Settled(plannedBy, &run.Settled{Held: run.Held{Order: "o1"}, Way: run.Way{Strips: []run.Strip{{Item: "stile", Length: 2 * metre}, {Order: "o2", Item: "stile", Length: 4 * metre}}}})
	wants(t, m, 2, "ripwright_cut_strip_length_meters_total", "stile", "o1")
	wants(t, m, 4, "ripwright_cut_strip_length_meters_total", "stile", "o2")
}

// However many ids callers invent, the series are bounded and no length is lost; an order
// in use keeps its series, another caller gets some, and abandoned orders give way.
func TestSeriesAreBounded(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	const more = 7
	for i := range itemsOfCaller + more {
		planned(m, "o", fmt.Sprint(i))
	}
	planned(m, "later", "stile")
	// An item with the name of the rest belongs to the rest.
	planned(m, "", "other")
	if n := testutil.CollectAndCount(m.items, lengthName); n != itemsOfCaller+1 {
		t.Errorf("%d series", n)
	}
	wants(t, m, more+2, lengthName, "other", "")
	job := &wire.Job{OrderID: "mine", Problem: rip.Problem{Items: []order.Item{{ID: "rail"}}}}
	m.Planned("token:line", job, &rip.Result{Best: &rip.Plan{Pockets: []rip.Pocket{{Item: 0, Counted: 1_000_000}}}}, 0)
	wants(t, m, 1, lengthName, "rail", "mine")
	for i := range 3 { // many callers
		for k := range itemsOfCaller {
			m.Planned(fmt.Sprint("token:", i), &wire.Job{OrderID: fmt.Sprint("of ", i), Problem: rip.Problem{Items: []order.Item{{ID: fmt.Sprint(k)}}}}, &rip.Result{Best: &rip.Plan{}}, 0)
		}
	}
	if n := testutil.CollectAndCount(m.items, lengthName); n != itemsOfKind+1 {
		t.Errorf("%d series of many callers", n)
	}
	m.Planned("token:line", job, &rip.Result{Best: &rip.Plan{Pockets: []rip.Pocket{{Item: 0, Counted: 1_000_000}}}}, 0)
	wants(t, m, 2, lengthName, "rail", "mine")
	now = now.Add(orderIdle + 1)
	planned(m, "later", "stile")
	wants(t, m, 1, lengthName, "stile", "later")
	if _, ok := read(t, m, lengthName, "0", "o"); ok {
		t.Error("an order not seen lately is still there")
	}
}

// Crosscut items are counted in pieces of the limited lengths; a surplus of one fills no
// other.
func TestCrosscutPieces(t *testing.T) {
	m := New(time.Now)
	m.Stands("", &wire.Line{OrderID: "o"}, []order.Item{{ID: "a", Cuts: []order.Cut{
		{Limited: true, Required: 10, Made: 4}, {Limited: true, Required: 5, Made: 9}, {Made: 100}}}})
	wants(t, m, 15, "ripwright_order_required_cut_pieces", "a", "o")
	wants(t, m, 9, "ripwright_order_made_cut_pieces", "a", "o")
}

// The limit that ended an unproven search is counted.
func TestUnproven(t *testing.T) {
	m := New(time.Now)
	for _, by := range []rip.Limit{rip.NoLimit, rip.TimeLimit, rip.TimeLimit, rip.WorkLimit} {
		m.Planned("", &wire.Job{}, &rip.Result{Best: &rip.Plan{}, EndedBy: by}, 0)
	}
	for limit, want := range map[string]float64{"time": 2, "work": 1, "memory": 0} {
		wants(t, m, want, "ripwright_plans_unproven_total", limit, unnamed)
	}
	wants(t, m, 4, "ripwright_boards_planned_total", "nothing", unnamed)
}
