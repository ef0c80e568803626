package line

import (
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// at is a message with the time at which it is sent.
func at(s, text string) string { return `{"at_s": ` + s + `, ` + text[1:] }

// shiftOf checks how long a summary says that a line ran and was stopped.
func shiftOf(t *testing.T, what string, s *ripwrightv1.RunSummary, times, stops string) {
	t.Helper()
	want := &ripwrightv1.RunSummary{}
	if err := protojson.Unmarshal([]byte(`{"times": `+times+`, "stops": `+stops+`}`), want); err != nil {
		t.Fatal(err)
	}
	if got := (&ripwrightv1.RunSummary{Times: s.GetTimes(), Stops: s.GetStops()}); !proto.Equal(got, want) {
		t.Errorf("%s: %v\nwant %v", what, got, want)
	}
}

// A day on a line: summaries at any time and since a mark, stops with their reasons, the
// time as the client gives it, on another replica too; worked out by hand.
func TestShift(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	first := s.say(at("100", setUp))
	if r := ready(first); r.GetAtS() != 100 || r.GetStopped() {
		t.Errorf("%v", r)
	}
	s.say(at("110", board))                                                               // 2
	s.say(at("130", asPlan+`2}}`))                                                        // 3
	s.say(at("130", `{"stop": {"reason": "jam"}}`))                                       // 4
	if a := s.say(at("120", board)); a.GetRefused().GetFaults()[0].GetPath() != "at_s" || // 5
		!strings.Contains(a.GetRefused().GetFaults()[0].GetSays(), "an earlier message was at 130") {
		t.Errorf("time goes back: %v", a)
	}
	a := s.say(at("190.5", `{"restart": {}}`)) // 6
	if r := a.GetRestarted(); r.GetReason() != "jam" || r.GetStoodS() != 60.5 {
		t.Errorf("%v", a)
	}
	a = s.say(at("200", `{"sum_up": {}}`)) // 7
	shiftOf(t, "so far", a.GetSummedUp().GetSummary(),
		`{"from_s": 100, "to_s": 200, "running_s": 39.5, "standing_s": 60.5, "boards_cut": 1, "boards_per_hour": 36, "boards_per_running_hour": 91.13924050632912}`,
		`[{"reason": "jam", "stops": 1, "standing_s": 60.5}]`)
	if sum := a.GetSummedUp().GetSummary(); sum.GetPlanned() != 1 || sum.GetRefused() != 1 || sum.GetItems()[0].GetStrips() != 2 {
		t.Errorf("%v", sum)
	}
	s.say(board)                                                               // 8
	s.say(at("220", `{"stop": {}}`))                                           // 9
	a = s.say(at("230", `{"sum_up": {"since_mark": true, "set_mark": true}}`)) // 10
	shiftOf(t, "the first shift", a.GetSummedUp().GetSummary(),
		`{"from_s": 100, "to_s": 230, "running_s": 59.5, "standing_s": 70.5, "boards_cut": 1, "boards_per_hour": 27.692307692307693, "boards_per_running_hour": 60.50420168067227}`,
		`[{"reason": "", "stops": 1, "standing_s": 10}, {"reason": "jam", "stops": 1, "standing_s": 60.5}]`)

	on := open(t, nil).stream(t)
	if r := ready(on.resume(a.GetState())); !r.GetStopped() || r.GetStopReason() != "" || r.GetAtS() != 230 {
		t.Errorf("resumed with %v", r)
	}
	if a = on.say(at("240", `{"stop": {"reason": "blades"}}`)); a.GetStopped().GetReason() != "blades" { // 11
		t.Errorf("%v", a)
	}
	on.say(at("260", `{"restart": {}}`)) // 12
	on.say(at("270", asPlan+`8}}`))      // 13
	a = on.say(`{"sum_up": {"since_mark": true}}`)
	shiftOf(t, "since the mark", a.GetSummedUp().GetSummary(),
		`{"from_s": 230, "to_s": 270, "running_s": 10, "standing_s": 30, "boards_cut": 1, "boards_per_hour": 90, "boards_per_running_hour": 360}`,
		`[{"reason": "blades", "stops": 0, "standing_s": 30}]`)
	if sum := a.GetSummedUp().GetSummary(); sum.GetPlanned() != 0 || sum.GetRefused() != 0 || sum.GetItems()[0].GetStrips() != 2 || len(sum.GetOutcomes()) != 1 {
		t.Errorf("%v", sum)
	}
	if a = on.say(`{"restart": {}}`); a.GetRefused().GetFaults()[0].GetPath() != "restart" {
		t.Errorf("a restart of a running line: %v", a)
	}
	sum := on.say(at("280", `{"end": {}}`)).GetSummary()
	shiftOf(t, "at the end", sum,
		`{"from_s": 100, "to_s": 280, "running_s": 79.5, "standing_s": 100.5, "boards_cut": 2, "boards_per_hour": 40, "boards_per_running_hour": 90.56603773584906}`,
		`[{"reason": "blades", "stops": 1, "standing_s": 40}, {"reason": "jam", "stops": 1, "standing_s": 60.5}]`)
	if sum.GetPlanned() != 2 || sum.GetItems()[0].GetStrips() != 4 {
		t.Errorf("%v", sum)
	}
}

// A run whose client gives no time counts only stops, and one that uses none of this has
// nothing of it in its state.
func TestStopsWithoutTime(t *testing.T) {
	s := open(t, nil).stream(t)
	a := s.say(setUp)
	if text, ok := unpacked(a.GetState()); !ok || strings.Contains(string(text), "Clock") || strings.Contains(string(text), "Times") || strings.Contains(string(text), "Since\"") {
		t.Errorf("%s", text)
	}
	s.say(`{"stop": {"reason": "jam"}}`)
	if a = s.say(`{"restart": {}}`); a.GetRestarted() == nil || a.GetRestarted().StoodS != nil {
		t.Errorf("%v", a)
	}
	sum := s.say(`{"end": {}}`).GetSummary()
	if sum.GetTimes() != nil || len(sum.GetStops()) != 1 || sum.GetStops()[0].GetStops() != 1 || sum.GetStops()[0].StandingS != nil {
		t.Errorf("%v", sum)
	}
}

// A faulty time, reason or resume time is reported by its field.
func TestShiftFaults(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	a := s.say(setUp)
	for text, path := range map[string]string{
		at("-1", board):               "at_s",
		at("1e12", board):             "at_s",
		at(`"NaN"`, board):            "at_s",
		at(`"NaN"`, `{"sum_up": {}}`): "at_s",
		`{"stop": {"reason": "` + strings.Repeat("x", 129) + `"}}`: "stop.reason",
	} {
		if got := s.say(text).GetRefused().GetFaults(); len(got) == 0 || got[0].GetPath() != path {
			t.Errorf("%s: %v", text, got)
		}
	}
	for _, first := range []*ripwrightv1.RunLineRequest{
		{AtS: proto.Float64(3), Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: a.GetState()}}},
		{AtS: proto.Float64(-3), Sequence: 1, Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: func() *ripwrightv1.LineSetUp {
			m := &ripwrightv1.RunLineRequest{}
			if err := protojson.Unmarshal([]byte(setUp), m); err != nil {
				t.Fatal(err)
			}
			return m.GetSetUp()
		}()}},
	} {
		on := h.stream(t)
		if err := on.Send(first); err != nil {
			t.Fatal(err)
		}
		if _, err := on.Recv(); err == nil || !strings.Contains(err.Error(), "at_s") {
			t.Errorf("%v", err)
		}
	}
}

// Metrics count the time and the stops of a run once, also if a stream is resumed and
// messages are sent again.
func TestShiftMetrics(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	state := s.say(at("0", setUp)).GetState()
	again := []string{at("10", `{"stop": {"reason": "jam"}}`), at("25", `{"restart": {}}`), at("40", board)}
	for range 3 {
		on := h.stream(t)
		on.resume(state)
		for _, m := range again {
			on.say(m)
		}
	}
	on := h.stream(t)
	on.resume(state)
	on.say(at("50", `{"sum_up": {}}`)) // of a client that forgot the stop: 40 to 50 is new
	for name, want := range map[string]float64{
		"ripwright_line_running_seconds_total": 35, "ripwright_line_standing_seconds_total": 15, "ripwright_line_stops_total": 1,
	} {
		if got := total(t, h, name); got != want {
			t.Errorf("%s is %g, want %g", name, got, want)
		}
	}
}

// total adds up the series of a counter.
func total(t *testing.T, h *house, name string) (sum float64) {
	t.Helper()
	all, err := h.Registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, f := range all {
		for _, m := range f.GetMetric() {
			if f.GetName() == name {
				found = true
				sum += m.GetCounter().GetValue()
			}
		}
	}
	if !found {
		t.Errorf("there is no %s", name)
	}
	return sum
}

// A confirmation sent again gets the same doubts, on another replica too, and metrics
// count them once.
func TestDoubtsAgain(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	s.say(board)
	s.say(board)
	strip := `"width_mm": 64, "stretches": [{"length_mm": 2405}]`
	a := s.say(measured(3, "AS_MEASURED", strip))
	want := a.GetSettled().GetDoubts()
	on := h.stream(t)
	on.resume(a.GetState())
	for _, again := range []*stream{s, on} {
		got := again.say(measured(3, "AS_MEASURED", strip)).GetSettled()
		if got.GetResult() != ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_BEFORE || len(want) != 1 || len(got.GetDoubts()) != 1 || !proto.Equal(got.GetDoubts()[0], want[0]) {
			t.Errorf("%v\nwant %v", got, want)
		}
	}
	if got := on.say(measured(3, "SOMETHING_ELSE", `"width_mm": 66, "stretches": []`)).GetSettled(); len(got.GetDoubts()) > 0 {
		t.Errorf("of another content: %v", got)
	}
	if sum := total(t, h, "ripwright_strip_doubts_total"); sum != 1 {
		t.Errorf("%g doubts are counted", sum)
	}
}
