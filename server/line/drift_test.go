package line

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
)

// widths is a line whose strips are measured at the outfeed.
type widths struct {
	*stream
	seen []*ripwrightv1.WidthDrift
}

// cut has a board planned, cut and measured: strips between blade off-1 and off come out
// by mm wider, those beyond it narrower by as much.
func (w *widths) cut(off int32, by float64) *ripwrightv1.RunLineResponse {
	w.t.Helper()
	a := w.say(board)
	var strips []string
	for i, k := range a.GetPlan().GetPlan().GetPockets() {
		if k.GetItemId() == "" {
			continue
		}
		width := k.GetWidthMm()
		switch off {
		case k.GetFarBlade():
			width += by
		case k.GetNearBlade():
			width -= by
		}
		strips = append(strips, fmt.Sprintf(`{"item_id": %q, "width_mm": %g, "pocket": %d, "stretches": [{"length_mm": %g}]}`,
			k.GetItemId(), width, i, 1000*k.GetCountedLengthM()))
	}
	if len(strips) != 2 {
		w.t.Fatalf("%v", a)
	}
	a = w.say(measuredAs(a.GetSequence(), strips...))
	if !counted(a) {
		w.t.Fatalf("%v", a)
	}
	w.seen = append(w.seen, a.GetSettled().GetDrifts()...)
	return a
}

func measuredAs(sequence int32, strips ...string) string {
	return fmt.Sprintf(`{"confirmation": {"board_sequence": %d, "outcome": "CUT_OUTCOME_AS_MEASURED", "strips": [%s]}}`, sequence, strings.Join(strips, ", "))
}

const watched = `"drift_watch": {"shift_mm": 0.2, "scatter_mm": 0.1}, `

func (h *house) drifts(t *testing.T) (all []string) {
	t.Helper()
	families, err := h.Registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range families {
		for _, m := range f.GetMetric() {
			if f.GetName() == "ripwright_pocket_drift_meters" {
				all = append(all, fmt.Sprintf("%s-%s %.4f", m.GetLabel()[2].GetValue(), m.GetLabel()[1].GetValue(), m.GetGauge().GetValue()))
			}
		}
	}
	return all
}

// A blade that drifts is reported once, by both its pockets, also after the run is
// resumed elsewhere; metrics show it until the stream ends.
func TestDriftIsToldOnce(t *testing.T) {
	h := open(t, nil)
	w := &widths{stream: h.stream(t)}
	w.say(strings.NewReplacer(`"saw_name"`, watched+`"saw_name"`, `"required": {"length_m": 120}, `, "").Replace(setUp))
	first := w.say(board).GetPlan().GetPlan()
	w.say(asPlan + `2}}`)
	var blades []int32
	for _, k := range first.GetPockets() {
		if k.GetItemId() != "" {
			blades = append(blades, k.GetNearBlade(), k.GetFarBlade())
		}
	}
	if len(blades) != 4 || blades[1] != blades[2] {
		t.Fatalf("strips are not neighbours: %v", first)
	}
	off := blades[1]
	var last *ripwrightv1.RunLineResponse
	for range 40 {
		last = w.cut(off, 0)
	}
	for range 4 {
		last = w.cut(off, 0.5)
	}
	if len(w.seen) != 0 {
		t.Fatalf("reported too soon: %v", w.seen)
	}
	state := last.GetState()
	if err := w.CloseSend(); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Recv(); err == nil {
		t.Fatal("the stream goes on")
	}
	w.stream = h.stream(t)
	w.resume(state)
	for range 40 {
		w.cut(off, 0.5)
	}
	if len(w.seen) != 2 {
		t.Fatalf("%v", w.seen)
	}
	for _, d := range w.seen {
		if d.Blade == nil || d.GetBlade() != off || (d.GetShiftMm() > 0) != (d.GetFarBlade() == off) || !strings.Contains(d.GetSays(), "about 0.50 mm too") {
			t.Errorf("%v", d)
		}
	}
	if got := fmt.Sprint(h.drifts(t)); strings.Count(got, "0.0005") != 2 {
		t.Errorf("metrics show %v", got)
	}
	again := h.stream(t)
	if r := ready(again.resume(w.cut(off, 0.5).GetState())); len(r.GetDrifts()) != 2 {
		t.Errorf("%v", r)
	}
	w.seen = nil
	for range 40 {
		w.cut(off, 0)
	}
	if len(w.seen) != 2 || w.seen[0].GetShiftMm() != 0 || !strings.Contains(w.seen[0].GetSays(), "as planned again") {
		t.Errorf("%v", w.seen)
	}
	if got := fmt.Sprint(h.drifts(t)); strings.Contains(got, "0.0005") {
		t.Errorf("metrics show %v", got)
	}
	w.say(`{"saw_change": {"saw_name": "heron"}}`)
	for _, got := range h.drifts(t) {
		if !strings.HasSuffix(got, " 0.0000") {
			t.Errorf("metrics show %v after a change of the saw", got)
		}
	}
}

// Strips whose pockets are wrongly named are refused, and count nothing.
func TestPocketsThatAreRefused(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	p := s.say(board).GetPlan().GetPlan()
	empty := -1
	for i, k := range p.GetPockets() {
		if k.GetItemId() == "" {
			empty = i
		}
	}
	strip := `{"item_id": "stile", "width_mm": 66.6, "pocket": %d}`
	for _, c := range []struct{ message, path, says string }{
		{measuredAs(2, fmt.Sprintf(strip, empty)), "confirmation.strips[0].pocket", "the plan has no strip in a pocket of that index"},
		{measuredAs(2, fmt.Sprintf(strip, 1), fmt.Sprintf(strip, 1)), "confirmation.strips[1].pocket", "a pocket gives one strip"},
		{measuredAs(2, fmt.Sprintf(strip, 32)), "confirmation.strips[0].pocket", "0 to 31"},
		{strings.Replace(measuredAs(2, fmt.Sprintf(strip, 1)), "AS_MEASURED", "SOMETHING_ELSE", 1), "confirmation.strips[0].pocket", "must be absent"},
	} {
		a := s.say(c.message)
		if f := a.GetRefused().GetFaults(); len(f) != 1 || f[0].GetPath() != c.path || !strings.Contains(f[0].GetSays(), c.says) {
			t.Errorf("%s: %v", c.message, a)
		}
	}
	for _, c := range []struct{ watch, path string }{
		{`"drift_watch": {"shift_mm": 0}, `, "drift_watch.shift_mm"},
		{`"drift_watch": {"scatter_mm": 11}, `, "drift_watch.scatter_mm"},
	} {
		m := &ripwrightv1.RunLineRequest{}
		if err := protojson.Unmarshal([]byte(strings.Replace(setUp, `"saw_name"`, c.watch+`"saw_name"`, 1)), m); err != nil {
			t.Fatal(err)
		}
		var l fault.List
		if _, err := wire.SetUp(m.GetSetUp(), h.cfg.Saws, true); !errors.As(err, &l) || len(l) != 1 || l[0].Path != c.path {
			t.Errorf("%s: %v", c.watch, err)
		}
	}
}
