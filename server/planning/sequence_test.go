package planning

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/brief"
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

// b needs one blade moved from the current setting, and a and c then one more: 14 minutes
// twice. As given it is 10 + 8, 10 + 4 and 10 + 4.
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

// A request on which the greedy choice of the order and arbor that end soonest was once
// better than the search, by an eighth.
func TestSequenceAgainstNearest(t *testing.T) {
	raw, err := os.ReadFile("testdata/sequence-nearest-neighbour-better.json")
	if err != nil {
		t.Fatal(err)
	}
	m := &ripwrightv1.SequenceOrdersRequest{}
	if err := protojson.Unmarshal(raw, m); err != nil {
		t.Fatal(err)
	}
	work := float64(brief.Fewer(5_000_000))
	m.WorkLimit = &work
	r, err := service().SequenceOrders(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	nearest := nearest(m)
	if got := r.GetBest().GetTotalMinutes(); got >= nearest || got < r.GetTotalBoundMinutes() || r.GetEndedBy() != ripwrightv1.EndedBy_ENDED_BY_WORK_LIMIT {
		t.Errorf("%g min, bound %g, %v; taking next what ends soonest %g", got, r.GetTotalBoundMinutes(), r.GetEndedBy(), nearest)
	}
	again, err := service().SequenceOrders(t.Context(), m)
	if err != nil || !proto.Equal(again.GetBest(), r.GetBest()) || again.GetWork() != r.GetWork() {
		t.Error("the same request has another answer", err)
	}
}

// A search with a given time uses it, and its answer has every order once.
func TestSequenceTakesItsTime(t *testing.T) {
	raw, err := os.ReadFile("testdata/sequence-nearest-neighbour-better.json")
	if err != nil {
		t.Fatal(err)
	}
	m := &ripwrightv1.SequenceOrdersRequest{}
	if err := protojson.Unmarshal(raw, m); err != nil {
		t.Fatal(err)
	}
	limit := 200.0
	m.TimeLimitMs = &limit
	r, err := service().SequenceOrders(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, j := range r.GetBest().GetJobs() {
		seen[j.GetOrderId()] = true
	}
	if len(seen) != len(m.GetJobs()) || len(r.GetBest().GetJobs()) != len(seen) || r.GetEndedBy() != ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT {
		t.Errorf("%d orders in %d jobs, %v", len(seen), len(r.GetBest().GetJobs()), r.GetEndedBy())
	}
	if r.GetBest().GetTotalMinutes() > r.GetGiven().GetTotalMinutes() {
		t.Errorf("%g min, as given %g", r.GetBest().GetTotalMinutes(), r.GetGiven().GetTotalMinutes())
	}
}

// nearest is when everything is done if the order that ends soonest is always next.
func nearest(m *ripwrightv1.SequenceOrdersRequest) (total float64) {
	at, done := m.GetCurrentFixedMm(), map[string]bool{}
	for range m.GetJobs() {
		var id string
		var arbor []float64
		least := math.Inf(1)
		for _, j := range m.GetJobs() {
			for _, a := range j.GetArbors() {
				same := 0
				for _, v := range a.GetFixedMm() {
					if slices.Contains(at, v) {
						same++
					}
				}
				takes := a.GetDurationMinutes()
				if moved := max(len(at), len(a.GetFixedMm())) - same; moved > 0 {
					takes += m.GetChange().GetSetupMinutes() + float64(moved)*m.GetChange().GetPerBladeMinutes()
				}
				if !done[j.GetOrderId()] && takes < least {
					id, arbor, least = j.GetOrderId(), a.GetFixedMm(), takes
				}
			}
		}
		done[id] = true
		at = arbor
		total += least
	}
	return total
}

// An order waits for its start, and the one with the greater weight goes first.
func TestSequenceStartsAndWeights(t *testing.T) {
	m := day()
	start := 200.0
	m.Jobs[0].EarliestStartMinutes = &start
	r, err := service().SequenceOrders(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	last := r.GetBest().GetJobs()[2]
	if last.GetOrderId() != "a" || last.GetStartMinutes() != 200 || last.GetDoneMinutes() != 260 || r.GetTotalBoundMinutes() != 260 || !r.GetProven() {
		t.Errorf("%v", r)
	}
	// Both are due at once; one minute late of c counts as three of a.
	m = day()
	m.Jobs = []*ripwrightv1.SequenceJob{m.Jobs[0], m.Jobs[2]}
	due, three := 1.0, int32(3)
	m.Jobs[0].DueMinutes, m.Jobs[1].DueMinutes, m.Jobs[1].Weight = &due, &due, &three
	if r, err = service().SequenceOrders(t.Context(), m); err != nil {
		t.Fatal(err)
	}
	// Two blades are moved in 18 min; c is done after 38, a after 98.
	if b := r.GetBest(); b.GetJobs()[0].GetOrderId() != "c" || b.GetWeightedLateMinutes() != 3*37+97 || b.GetLateMinutes() != 37+97 {
		t.Errorf("%v", b)
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
		"work_limit":                         func(m *ripwrightv1.SequenceOrdersRequest) { v := 0.5; m.WorkLimit = &v },
		"jobs[1].earliest_start_minutes":     func(m *ripwrightv1.SequenceOrdersRequest) { v := -1.0; m.Jobs[1].EarliestStartMinutes = &v },
		"jobs[1].weight":                     func(m *ripwrightv1.SequenceOrdersRequest) { v := int32(1001); m.Jobs[1].Weight = &v },
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
