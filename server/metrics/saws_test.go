package metrics

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// read gives the value of a series by its labels, in the order of their names, and
// whether it exists.
func read(t *testing.T, m *Metrics, name string, labels ...string) (float64, bool) {
	t.Helper()
	families, err := m.Registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range families {
		if f.GetName() != name {
			continue
		}
		for _, s := range f.GetMetric() {
			has := make([]string, 0, len(labels))
			for _, l := range s.GetLabel() {
				has = append(has, l.GetValue())
			}
			if fmt.Sprintf("%q", has) == fmt.Sprintf("%q", labels) {
				return s.GetCounter().GetValue() + s.GetGauge().GetValue(), true
			}
		}
	}
	return 0, false
}

func wants(t *testing.T, m *Metrics, want float64, name string, labels ...string) {
	t.Helper()
	if got, ok := read(t, m, name, labels...); !ok || math.Abs(got-want) > 1e-12*max(1, want) {
		t.Errorf("%s%q is %g (%v), want %g", name, labels, got, ok, want)
	}
}

const (
	cutName  = "ripwright_boards_cut_total"
	faceName = "ripwright_cut_face_area_square_meters_total"
	sawnName = "ripwright_blade_cut_length_meters_total"
)

func settled(saw, changed string) *run.Settled {
	return &run.Settled{Outcome: run.AsPlanned, Held: run.Held{Order: "o", Saw: saw, BladesChanged: changed}, Way: run.Way{
		Strips: []run.Strip{{Item: "a", Length: 2_500_000}, {Length: 500_000}},
		Parts:  run.Parts{Strip: unit.SquareMetre / 2, Kerf: unit.SquareMetre / 4, Other: unit.SquareMetre / 8},
		Blades: []run.BladeUse{{}, {Travel: 120 * unit.Millimetre, Cut: 2_400_000}},
	}}
}

// What was cut is counted by saw and use, blade by blade, and separately from what was
// planned.
func TestSettled(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	line := &wire.Line{OrderID: "o", Saw: wire.Machine{}}
	m.Stands("", line, []order.Item{{ID: "a", Measure: order.ByLength, Required: 9_000_000}})
	m.Settled("", settled("heron", ""))
	m.Settled("", settled("heron", ""))
	m.Settled("", &run.Settled{Outcome: run.SentBack})
	measured := settled("heron", "")
	measured.Outcome, measured.Held.Ways, measured.Way.Blades = run.AsMeasured, []run.Way{measured.Way}, nil
	m.Settled("", measured)
	wants(t, m, 2, cutName, "as_planned", "heron")
	wants(t, m, 0, cutName, "set_aside", "heron")
	wants(t, m, 1, cutName, "sent_back", unnamed)
	wants(t, m, 1.5, faceName, "heron", "strip")
	wants(t, m, 0.75, faceName, "heron", "kerf")
	wants(t, m, 0.375, faceName, "heron", "other")
	wants(t, m, 0.36, "ripwright_blade_travel_meters_total", "1", "", "heron")
	wants(t, m, 7.2, sawnName, "1", "", "heron") // one has measured strips, its blades cut as planned
	wants(t, m, 0, sawnName, "0", "", "heron")
	wants(t, m, 0, "ripwright_boards_planned_total", "strips", "heron")
	wants(t, m, 7.5, "ripwright_cut_strip_length_meters_total", "a", "o")
	wants(t, m, 1.5, "ripwright_cut_strip_length_meters_total", "other", "")
	wants(t, m, 0, lengthName, "a", "o")
	m.Stands("", line, []order.Item{{ID: "a", Measure: order.ByLength, Required: 9_000_000, Made: 5_000_000}})
	wants(t, m, 9, "ripwright_order_required_length_meters", "a", "o")
	wants(t, m, 5, "ripwright_order_made_length_meters", "a", "o")
}

// Wear starts afresh with other words for the change of blades, and what was sawn before
// stays under the words before.
func TestWearByChange(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	m.Settled("", settled("heron", "2031-05-02"))
	now = now.Add(time.Minute)
	m.Settled("", settled("heron", "2031-05-09"))
	m.Settled("", settled("heron", "2031-05-09"))
	wants(t, m, 2.4, sawnName, "1", "2031-05-02", "heron")
	wants(t, m, 4.8, sawnName, "1", "2031-05-09", "heron")
	wants(t, m, 3, cutName, "as_planned", "heron")
	wants(t, m, 1000, "ripwright_saw_seen_timestamp_seconds", "2031-05-02", "heron")
	wants(t, m, 1060, "ripwright_saw_seen_timestamp_seconds", "2031-05-09", "heron")
}

// A caller that invents names displaces none in use, whether of another caller, the saw
// file or another kind of caller, and what finds no room counts as other.
func TestNamesOfOneCallerPushOutNobody(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	m.Listed(func(k wire.Mark) bool { return k == wire.Mark{Saw: "heron"} })
	count := func(caller, saw, changed string) {
		m.Planned(caller, &wire.Job{Mark: wire.Mark{Saw: saw, Changed: changed}}, &rip.Result{Best: &rip.Plan{}}, 0)
		m.Settled(caller, settled(saw, changed))
	}
	count("address:192.0.2.1", "wren", "")
	const many = 3000
	for i := range many {
		count("address:192.0.2.66", fmt.Sprint("no saw ", i), fmt.Sprint(i))
		count("address:192.0.2.66", "wren", fmt.Sprint("never ", i))
	}
	for i := range 300 { // and from many addresses
		count(fmt.Sprintf("address:198.51.100.%d", i), fmt.Sprint("nor this ", i), "")
	}
	count("address:192.0.2.1", "wren", "")
	count("token:line 3", "plover", "monday")
	count("address:192.0.2.66", "heron", "")
	wants(t, m, 2+many, cutName, "as_planned", "wren")
	wants(t, m, 4.8, sawnName, "1", "", "wren")
	wants(t, m, 1, cutName, "as_planned", "plover")
	wants(t, m, 1, cutName, "as_planned", "heron")
	// Half of the one caller's share are saws, half are changes of wren's blades.
	others := many - marksOfCaller/2 + 300 - (marksOfKind - marksOfCaller - 1)
	wants(t, m, float64(others), cutName, "as_planned", other)
	if n := testutil.CollectAndCount(m.saws.cut, cutName) / run.Outcomes; n > 2*marksOfKind {
		t.Errorf("%d saws have series", n)
	}
	if n := len(m.saws.marks.callers); n > 3*marksOfKind {
		t.Errorf("%d callers are remembered", n)
	}
	// A name that is too long, or none at all, comes from a state that was tampered with.
	count("token:line 3", strings.Repeat("x", 200), "")
	count("token:line 3", "\xff", "")
	wants(t, m, float64(others+2), cutName, "as_planned", other)
}

// A name that nobody used for long gives way to a new one, completely, and comes back
// from 0 as a counter does after a reset.
func TestIdleNamesGiveWay(t *testing.T) {
	now := time.Unix(1000, 0)
	m := New(func() time.Time { return now })
	m.Settled("token:a", settled("wren", "monday"))
	m.Settled("token:a", settled("wren", "tuesday"))
	for i := range marksOfCaller - 2 {
		m.Settled("token:a", settled(fmt.Sprint("saw ", i), ""))
	}
	now = now.Add(markIdle)
	m.Settled("token:a", settled("wren", "tuesday"))
	m.Settled("token:a", settled("finch", ""))
	wants(t, m, 1, cutName, "as_planned", other) // an hour is not over
	now = now.Add(1)
	m.Settled("token:a", settled("finch", ""))
	wants(t, m, 1, cutName, "as_planned", "finch")
	if _, ok := read(t, m, sawnName, "1", "monday", "wren"); ok {
		t.Error("the change of blades seen longest ago is still there")
	}
	wants(t, m, 3, cutName, "as_planned", "wren")
	m.Settled("token:a", settled("lark", ""))
	for _, name := range []string{cutName, faceName} {
		for _, l := range []string{"as_planned", "kerf"} {
			if _, ok := read(t, m, name, "saw 0", l); ok {
				t.Errorf("%s still has the saw that was dropped", name)
			}
			if _, ok := read(t, m, name, l, "saw 0"); ok {
				t.Errorf("%s still has the saw that was dropped", name)
			}
		}
	}
	m.Settled("token:a", settled("saw 0", ""))
	wants(t, m, 1, cutName, "as_planned", "saw 0")
}

// Names of series and their help pass promtool's rules.
func TestLint(t *testing.T) {
	m := New(time.Now)
	m.Planned("", &wire.Job{OrderID: "o"}, &rip.Result{Best: &rip.Plan{}}, 0)
	m.Settled("", settled("heron", "monday"))
	m.Stands("", &wire.Line{OrderID: "o"}, []order.Item{{ID: "a", Measure: order.ByLength}, {ID: "b", Measure: order.ByArea},
		{ID: "c", Measure: order.ByPieces}, {ID: "d", Cuts: []order.Cut{{Limited: true, Required: 1}}}})
	problems, err := testutil.GatherAndLint(m.Registry)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		t.Errorf("%s: %s", p.Metric, p.Text)
	}
	if err := prometheus.NewPedanticRegistry().Register(m.items); err != nil {
		t.Error(err)
	}
}
