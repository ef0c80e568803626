package planning

import (
	"math"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// day is an invented day: a and c share an arbor, b needs another.
func day() *ripwrightv1.SequenceOrdersRequest {
	job := func(id string, run float64, fixed ...float64) *ripwrightv1.SequenceJob {
		return &ripwrightv1.SequenceJob{OrderId: id, Arbors: []*ripwrightv1.ArborSetting{{FixedMm: fixed, DurationMinutes: run}}}
	}
	return &ripwrightv1.SequenceOrdersRequest{
		CurrentFixedMm: []float64{100, 160, 240},
		Change:         &ripwrightv1.ChangeTime{SetupMinutes: 10, PerBladeMinutes: 4},
		Jobs:           []*ripwrightv1.SequenceJob{job("a", 60, 100, 170, 250), job("b", 30, 100, 160, 250), job("c", 20, 100, 170, 250)},
	}
}

// b needs one blade moved from how they stand, and a and c then one more: 14
// minutes twice. As given it is 10 + 8, 10 + 4 and 10 + 4.
func TestSequenceOrders(t *testing.T) {
	m := day()
	r, err := service().SequenceOrders(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Proven || r.Best.ChangeMinutes != 28 || r.Given.ChangeMinutes != 46 || r.Best.Jobs[0].OrderId != "b" || r.Best.TotalMinutes != 138 {
		t.Errorf("%v", r)
	}
	// c is due before b could be done and the blades changed again.
	due := 40.0
	m.Jobs[2].DueMinutes = &due
	if r, err = service().SequenceOrders(t.Context(), m); err != nil || r.Best.Jobs[0].OrderId != "c" || r.Best.LateMinutes != 0 {
		t.Errorf("%v %v", r, err)
	}
}

func TestSequenceRefuses(t *testing.T) {
	for path, spoil := range map[string]func(*ripwrightv1.SequenceOrdersRequest){
		"jobs":                               func(m *ripwrightv1.SequenceOrdersRequest) { m.Jobs = nil },
		"change":                             func(m *ripwrightv1.SequenceOrdersRequest) { m.Change = nil },
		"change.setup_minutes":               func(m *ripwrightv1.SequenceOrdersRequest) { m.Change.SetupMinutes = -1 },
		"change.per_blade_minutes":           func(m *ripwrightv1.SequenceOrdersRequest) { m.Change.PerBladeMinutes = math.Inf(1) },
		"current_fixed_mm[1]":                func(m *ripwrightv1.SequenceOrdersRequest) { m.CurrentFixedMm[1] = 100 },
		"jobs[1].order_id":                   func(m *ripwrightv1.SequenceOrdersRequest) { m.Jobs[1].OrderId = "a" },
		"jobs[0].order_id":                   func(m *ripwrightv1.SequenceOrdersRequest) { m.Jobs[0].OrderId = "" },
		"jobs[2].arbors":                     func(m *ripwrightv1.SequenceOrdersRequest) { m.Jobs[2].Arbors = nil },
		"jobs[2].due_minutes":                func(m *ripwrightv1.SequenceOrdersRequest) { v := 0.0; m.Jobs[2].DueMinutes = &v },
		"jobs[0].arbors[0].duration_minutes": func(m *ripwrightv1.SequenceOrdersRequest) { m.Jobs[0].Arbors[0].DurationMinutes = math.NaN() },
		"jobs[0].arbors[0].fixed_mm[2]":      func(m *ripwrightv1.SequenceOrdersRequest) { m.Jobs[0].Arbors[0].FixedMm[2] = 5001 },
	} {
		m := day()
		spoil(m)
		_, err := service().SequenceOrders(t.Context(), m)
		if named := faultsOf(err); status.Code(err) != codes.InvalidArgument || !strings.Contains(" "+named+" ", " "+path+" ") {
			t.Errorf("%s: %v %s", path, err, named)
		}
	}
}
