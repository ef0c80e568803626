package line

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

var update = flag.Bool("update", false, "write the states of this release")

// releases holds states by release. A release adds its own and never changes earlier
// ones; COMPATIBILITY.md says which ones it reads.
const (
	releases = "../../testdata/releases/"
	release  = "v0.1.0"
)

// kinds are typical runs of lines, up to the break of their streams.
var kinds = map[string][]string{
	"plain": {setUp, board, `{"board": {"board": {"length_mm": 9000, "stations": [{"far_mm": 240}]}}}`, asPlan + `2}}`, board},
	"everything": {`{"set_up": {"run_id": "r3", "saw": {"name": "own", "kerf_mm": 3.6, "step_mm": 0.5, "fence": {"min_mm": 40, "max_mm": 290},
  "blades": [{"fixed_mm": 150}, {"fixed_mm": 220.5}, {"moving": {"min_mm": 260, "max_mm": 420}}], "min_gap_mm": 30, "min_strip_width_mm": 25,
  "limits": {"max_length_mm": 6000}, "rerip": {"min_width_mm": 45, "value_per_m2": 2}, "max_skew_mm_per_m": 0.5,
  "feed_m_per_min": 30, "positioning_mm_per_s": 200, "handling_s": 2},
 "current_setting": {"fence_mm": 120, "blades_mm": [150, 220.5, 300]}, "stack_threshold_mm": 2, "boards_in_flight": 3,
 "options": {"runners_up": 1, "price_per_saw_hour": 60, "detail": {"values": "ITEM_DETAIL_ALL"}},
 "order": {"order_id": "o1", "items": [
  {"item_id": "stile", "width_mm": 66.6, "value": 14, "required": {"length_m": 120}, "made": {"length_m": 30}, "stack": "1", "accepts": ["stain"]},
  {"item_id": "rail", "width_mm": 65, "value": 11, "required": {"pieces": 40}, "piece_length_mm": 700, "stack": "2"},
  {"item_id": "panel", "range": {"min_mm": 40, "max_mm": 60}, "value": 9, "required": {"area_m2": 12}, "panel": {"width_mm": 600, "joint_allowance_mm": 1.5}},
  {"item_id": "door", "width_mm": 55, "crosscut": {"kerf_mm": 4, "end_trim_mm": 15, "lengths": [{"length_mm": 720, "value": 1.2, "required": 12, "made": 5}, {"length_mm": 430, "value": 0.6}]}}]}}}`,
		board, board,
		`{"confirmation": {"board_sequence": 2, "outcome": "CUT_OUTCOME_AS_MEASURED", "strips": [{"item_id": "stile", "width_mm": 66.5, "stretches": [{"length_mm": 2300}]}]}}`,
		`{"order_change": {"order": {"order_id": "o2", "items": [{"item_id": "stile", "width_mm": 66.6, "value": 14}]}}}`},
	"values": {planned, board, asPlan + `2}}`, board, `{"confirmation": {"board_sequence": 4, "outcome": "CUT_OUTCOME_SET_ASIDE"}}`, board},
}

// goesOn resumes a run, ends it and gives the answers, which do not depend on how a later
// release plans.
func goesOn(t *testing.T, state []byte) []*ripwrightv1.RunLineResponse {
	t.Helper()
	s := open(t, nil).stream(t)
	all := []*ripwrightv1.RunLineResponse{s.resume(state)}
	for _, b := range ready(all[0]).GetUnconfirmed() {
		m := &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: &ripwrightv1.CutConfirmation{
			BoardSequence: b.GetBoardSequence(), Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED}}}
		all = append(all, s.send(m))
		again := proto.CloneOf(m)
		all = append(all, s.send(again))
	}
	all = append(all, s.say(`{"end": {}}`))
	for _, a := range all {
		a.State, a.ValuesUnderWay = nil, false
	}
	return all
}

// Runs continue from states of this release, and of earlier ones that it reads, to the
// same end.
func TestStatesOfReleases(t *testing.T) {
	if *update {
		for name, messages := range kinds {
			s := open(t, nil).stream(t)
			var a *ripwrightv1.RunLineResponse
			for _, m := range messages {
				a = s.say(m)
			}
			path := filepath.Join(releases, release, "line-"+name)
			write(t, path+".state", a.GetState())
			var text []byte
			for _, a := range goesOn(t, a.GetState()) {
				line, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(a)
				if err != nil {
					t.Fatal(err)
				}
				text = append(append(text, line...), '\n')
			}
			write(t, path+".jsonl", text)
		}
	}
	states, err := filepath.Glob(releases + "v*/line-*.state")
	if err != nil || len(states) < len(kinds) {
		t.Fatal(states, err)
	}
	for _, path := range states {
		state, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(strings.TrimSuffix(path, ".state") + ".jsonl")
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(string(text)), "\n")
		for i, got := range goesOn(t, state) {
			// What only a later release reports is left out.
			want := &ripwrightv1.RunLineResponse{}
			if err := protojson.Unmarshal([]byte(lines[i]), want); err != nil {
				t.Fatal(err)
			}
			if !proto.Equal(got, want) {
				t.Errorf("%s: %v\nwas %v", path, got, want)
			}
		}
	}
}

func write(t *testing.T, path string, text []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, text, 0o644); err != nil {
		t.Fatal(err)
	}
}

// A state with content unknown to this release is refused, both in its JSON and in the
// set-up within it.
func TestStatesOfLaterReleases(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	good := string(textOf(s.say(board).GetState()))
	newer := strings.Replace(good, `"SawName"`, `"Turned":true,"SawName"`, 1)
	inside := strings.Replace(good, `"InFlight"`, `"Lines":2,"InFlight"`, 1)
	for what, text := range map[string]string{"a key more": newer, "a key more of the run": inside, "more behind it": good + "{}"} {
		if text == good {
			t.Fatalf("%s: not found in %s", what, good)
		}
		s := h.stream(t)
		if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
			Resume: &ripwrightv1.LineResume{State: summed([]byte(text))}}}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); err == nil || !strings.Contains(err.Error(), "resume.state") {
			t.Errorf("%s: %v", what, err)
		}
	}
	if s := h.stream(t); s.resume(summed([]byte(good))).GetResumed() == nil {
		t.Error("the good one is not resumed")
	}
}

// A message that would make the state larger than allowed is refused and changes nothing;
// the run continues.
func TestStateTooLarge(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(setUp)
	var before *ripwrightv1.RunLineResponse
	refused := false
	for n := 0; n < 40 && !refused; n++ {
		m := &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_OrderChange{OrderChange: &ripwrightv1.OrderChange{Order: long(n)}}}
		a := s.send(m)
		if r := a.GetRefused(); r != nil {
			refused = true
			if r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_STATE_TOO_LARGE {
				t.Fatal(r)
			}
			if len(a.GetFills()) != len(before.GetFills()) || len(a.GetState()) > 3<<20 {
				t.Errorf("%d fills after it, a state of %d bytes", len(a.GetFills()), len(a.GetState()))
			}
			continue
		}
		before = a
	}
	if !refused {
		t.Fatalf("a state of %d bytes is taken", len(before.GetState()))
	}
	if a := s.say(board); a.GetPlan() == nil {
		t.Error(a)
	}
	if a := s.say(`{"end": {}}`); a.GetSummary().GetPlanned() != 1 {
		t.Error(a)
	}
}

// long is an order with as much to remember as possible.
func long(n int) *ripwrightv1.CutOrder {
	o := &ripwrightv1.CutOrder{OrderId: strings.Repeat("<", 100) + string(rune('a'+n))}
	for i := range 160 {
		it := &ripwrightv1.Item{ItemId: strings.Repeat("<", 100) + string(rune('A'+i)), Stack: strings.Repeat("s", 128),
			Width: &ripwrightv1.Item_WidthMm{WidthMm: 66.6}, Crosscut: &ripwrightv1.Crosscut{}}
		for l := range 32 {
			it.Crosscut.Lengths = append(it.Crosscut.Lengths, &ripwrightv1.CutLength{LengthMm: 300 + float64(10*l), Value: 1, Made: proto.Int32(1)})
		}
		o.Items = append(o.Items, it)
	}
	return o
}

// With 500 items an answer has the detail that its caller asks for.
func TestDetail(t *testing.T) {
	s := open(t, nil).stream(t)
	first := s.say(strings.Replace(setUp, every, `"options": {"detail": {"plans": "PLAN_DETAIL_POCKETS"}}`, 1))
	if len(first.GetFills()) != 1 {
		t.Errorf("the first answer: %v", first.GetFills())
	}
	a := s.say(board)
	p := a.GetPlan().GetPlan()
	if len(a.GetFills()) != 1 || p.Account != nil || len(p.GetPockets()) == 0 || len(p.GetPockets()[1].GetStretches()) != 0 || p.GetPockets()[1].GetItemId() == "" {
		t.Errorf("%v", a)
	}
	if a = s.say(`{"board": {"board": {"length_mm": 9000, "stations": [{"far_mm": 240}]}}}`); len(a.GetFills()) != 0 {
		t.Errorf("a refused board changes %v", a.GetFills())
	}
	if a = s.say(asPlan + `2}}`); len(a.GetFills()) != 1 || a.GetFills()[0].GetMade().GetLengthM() != 36.3 {
		t.Errorf("%v", a.GetFills())
	}
	if a = s.say(`{"order_change": {"order": ` + items + `}}`); len(a.GetFills()) != 1 {
		t.Errorf("another order: %v", a.GetFills())
	}
	none := open(t, nil).stream(t)
	if a := none.say(strings.Replace(setUp, every, `"options": {"detail": {"fills": "ITEM_DETAIL_NONE"}}`, 1)); len(a.GetFills()) != 0 {
		t.Errorf("%v", a.GetFills())
	}
	if a := none.say(board); len(a.GetFills()) != 0 || a.GetPlan().GetPlan().GetAccount() == nil {
		t.Errorf("%v", a)
	}
}
