package line

import (
	"fmt"
	"strings"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// ownSaw has a movable fence and one movable blade.
const (
	ownSaw = `"saw": {"name": "own", "kerf_mm": 3.6, "step_mm": 0.5, "fence": {"min_mm": 40, "max_mm": 290},
  "blades": [{"fixed_mm": 150}, {"fixed_mm": 220.5}, {"moving": {"min_mm": 260, "max_mm": 420}}], "min_gap_mm": 30, "min_strip_width_mm": 25}`
	ownSetUp = `{"set_up": {"run_id": "r1", ` + ownSaw + `, "current_setting": {"fence_mm": 120, "blades_mm": [150, 220.5, 300]},
  "boards_in_flight": 4, "order": ` + items + `}}`
)

func boardOf(id string, width float64, more string) string {
	return fmt.Sprintf(`{"board": {"board": {"board_id": %q, "length_mm": 2400, "stations": [{"far_mm": %g}]}%s}}`, id, width, more)
}

func confirmed(sequence int32, outcome, more string) string {
	return fmt.Sprintf(`{"confirmation": {"board_sequence": %d, "outcome": "CUT_OUTCOME_%s"%s}}`, sequence, outcome, more)
}

// starts checks where a plan's targets start, and how that is known.
func starts(t *testing.T, what string, a *ripwrightv1.RunLineResponse, basis ripwrightv1.StartBasis, board int32, fence, blade float64) {
	t.Helper()
	p := a.GetPlan()
	if p == nil {
		t.Fatalf("%s: %v", what, a)
	}
	if s := p.GetStart(); s.GetBasis() != basis || s.GetBoardSequence() != board || (s.BoardSequence != nil) != (board > 0) {
		t.Errorf("%s: starts by %v, want %v of board %d", what, s, basis, board)
	}
	if to := p.GetTargets(); len(to) != 2 || to[0].GetFromPosition() != fence || to[1].GetFromPosition() != blade {
		t.Errorf("%s: targets %v, want them to begin at %g and %g", what, to, fence, blade)
	}
}

// Targets start where the axes are, as far as is known, and the answer says how it is
// known: through boards that are planned ahead, not cut, cut otherwise, measured and
// settled out of order.
func TestWhereTheAxesStand(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(ownSetUp)
	goes := func(a *ripwrightv1.RunLineResponse) (fence, blade float64) {
		to := a.GetPlan().GetPlan().GetSetting()
		return to.GetFenceMm(), to.GetBladesMm()[2]
	}
	a := s.say(boardOf("a", 240, ""))
	starts(t, "first", a, ripwrightv1.StartBasis_START_BASIS_SET_UP, 0, 120, 300)
	fenceA, bladeA := goes(a)
	b := s.say(boardOf("b", 75, ""))
	starts(t, "ahead", b, ripwrightv1.StartBasis_START_BASIS_AHEAD, 2, fenceA, bladeA)
	if x, y := goes(b); x == fenceA && y == bladeA {
		t.Fatal("both boards are set alike, which shows nothing")
	}
	s.say(confirmed(3, "SENT_BACK", ""))
	starts(t, "after one that never came", s.say(boardOf("c", 230, "")), ripwrightv1.StartBasis_START_BASIS_AHEAD, 2, fenceA, bladeA)
	s.say(confirmed(5, "NOT_CUT", ""))
	s.say(confirmed(2, "AS_PLANNED", ""))
	d := s.say(boardOf("d", 215, ""))
	starts(t, "after one that was cut", d, ripwrightv1.StartBasis_START_BASIS_CUT, 2, fenceA, bladeA)
	s.say(confirmed(8, "NOT_CUT", ""))
	starts(t, "after one that was not", s.say(boardOf("e", 230, "")), ripwrightv1.StartBasis_START_BASIS_ASSUMED, 8, fenceA, bladeA)
	s.say(confirmed(10, "SOMETHING_ELSE", `, "strips": [{"width_mm": 60, "stretches": [{"length_mm": 2400}]}],
	  "measured_setting": {"fence_mm": 100.25, "blades_mm": [150, 220.5, 310]}`))
	starts(t, "as measured", s.say(boardOf("f", 230, "")), ripwrightv1.StartBasis_START_BASIS_MEASURED, 10, 100.25, 310)
	s.say(confirmed(12, "NOT_CUT", ""))
	now := `, "measured_setting": {"fence_mm": 39.9, "blades_mm": [150.1, 220.5, 420.2]}`
	g := s.say(boardOf("g", 230, now)) // a quarter of a step beyond: its end
	starts(t, "measured with the board", g, ripwrightv1.StartBasis_START_BASIS_MEASURED, 0, 40, 420)
	fenceG, bladeG := goes(g)
	starts(t, "measured while another waits", s.say(boardOf("h", 215, now)), ripwrightv1.StartBasis_START_BASIS_AHEAD, 14, fenceG, bladeG)
	// Those that wait were planned for the saw before.
	s.say(`{"saw_change": {` + ownSaw + `, "current_setting": {"fence_mm": 200, "blades_mm": [150, 220.5, 400]}}}`)
	starts(t, "another saw", s.say(boardOf("i", 230, "")), ripwrightv1.StartBasis_START_BASIS_SET_UP, 0, 200, 400)
	s.say(confirmed(17, "NOT_CUT", ""))
	s.say(confirmed(15, "AS_PLANNED", ""))
	starts(t, "after one of the saw before", s.say(boardOf("j", 230, "")), ripwrightv1.StartBasis_START_BASIS_SET_UP, 0, 200, 400)
}

// A run resumed elsewhere knows as much.
func TestResumedRunsKnowTheAxes(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(ownSetUp)
	s.say(boardOf("a", 240, ""))
	a := s.say(confirmed(2, "AS_PLANNED", `, "measured_setting": {"fence_mm": 77.5, "blades_mm": [150, 220.5, 333]}`))
	other := open(t, nil).stream(t)
	other.resume(a.GetState())
	starts(t, "resumed", other.say(boardOf("b", 240, "")), ripwrightv1.StartBasis_START_BASIS_MEASURED, 2, 77.5, 333)
}

// Impossible measured positions are refused by their field, and change nothing.
func TestWrongMeasuredPositions(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(ownSetUp)
	a := s.say(boardOf("a", 240, ""))
	for path, setting := range map[string]string{
		"fence_mm":     `{"blades_mm": [150, 220.5, 333]}`,
		"blades_mm":    `{"fence_mm": 77.5}`,
		"blades_mm[2]": `{"fence_mm": 77.5, "blades_mm": [150, 220.5, 420.3]}`,
		"blades_mm[1]": `{"fence_mm": 77.5, "blades_mm": [150, 221, 400]}`,
	} {
		for where, text := range map[string]string{
			"board":        boardOf("b", 240, `, "measured_setting": `+setting),
			"confirmation": confirmed(2, "AS_PLANNED", `, "measured_setting": `+setting),
		} {
			r := s.say(text).GetRefused()
			if want := where + ".measured_setting." + path; len(r.GetFaults()) != 1 || r.GetFaults()[0].GetPath() != want {
				t.Errorf("%v, want a fault of %s", r, want)
			}
		}
	}
	to := a.GetPlan().GetPlan().GetSetting()
	starts(t, "after refusals", s.say(boardOf("c", 240, "")), ripwrightv1.StartBasis_START_BASIS_AHEAD, 2, to.GetFenceMm(), to.GetBladesMm()[2])
}

// A confirmation that names another board than the one of its number is refused; a
// counted board is not counted again under another name.
func TestConfirmationsNameTheirBoard(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(ownSetUp)
	s.say(boardOf("a", 240, ""))
	r := s.say(confirmed(2, "AS_PLANNED", `, "board_id": "b"`)).GetRefused()
	if r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_INVALID || len(r.GetFaults()) != 1 || r.GetFaults()[0].GetPath() != "confirmation.board_id" ||
		!strings.Contains(r.GetFaults()[0].GetSays(), `"a"`) {
		t.Error(r)
	}
	for _, c := range []struct {
		id   string
		want ripwrightv1.ConfirmationResult
	}{
		{"a", ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED},
		{"a", ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_BEFORE},
		{"b", ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_OTHERWISE},
	} {
		if got := s.say(confirmed(2, "AS_PLANNED", `, "board_id": "`+c.id+`"`)).GetSettled().GetResult(); got != c.want {
			t.Errorf("as %s: %v, want %v", c.id, got, c.want)
		}
	}
}

// A resume that expects another run, order or saw than the state's is told which one.
func TestResumeExpects(t *testing.T) {
	h := open(t, nil)
	a := h.stream(t).say(ownSetUp)
	is := ready(a)
	for field, m := range map[string]*ripwrightv1.LineResume{
		"":                  {RunId: "r1", OrderId: "o1", ArborFingerprint: is.GetArborFingerprint(), SawFingerprint: is.GetSawFingerprint()},
		"run_id":            {RunId: "r2"},
		"order_id":          {RunId: "r1", OrderId: "o2"},
		"arbor_fingerprint": {ArborFingerprint: "x"},
		"saw_fingerprint":   {SawFingerprint: is.GetArborFingerprint()},
	} {
		m.State = a.GetState()
		s := h.stream(t)
		if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: m}}); err != nil {
			t.Fatal(err)
		}
		got, err := s.Recv()
		if field == "" {
			if err != nil || ready(got).GetRunId() != "r1" {
				t.Errorf("the same run: %v, %v", got, err)
			}
			continue
		}
		if status.Code(err) != codes.FailedPrecondition || reasonOf(err) != "ANOTHER_RUN" || !strings.Contains(err.Error(), "resume."+field) {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// A client that opens a run which another stream has open is told so.
func TestSecondClient(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	a := s.say(ownSetUp)
	if n := ready(a).GetOtherStreams(); n != 0 {
		t.Errorf("alone, and %d others", n)
	}
	if n := ready(h.stream(t).resume(a.GetState())).GetOtherStreams(); n != 1 {
		t.Errorf("the second stream's answer reports %d others", n)
	}
	if n := ready(s.say(`{"order_change": {"order": ` + items + `}}`)).GetOtherStreams(); n != 1 {
		t.Errorf("the first stream's answer reports %d others", n)
	}
	if n := ready(h.stream(t).say(strings.Replace(ownSetUp, "r1", "r2", 1))).GetOtherStreams(); n != 0 {
		t.Errorf("another run, and %d others", n)
	}
}

// reasonOf is the reason of a status, as callers read it.
func reasonOf(err error) string {
	for _, d := range status.Convert(err).Details() {
		if i, is := d.(*errdetails.ErrorInfo); is {
			return i.GetReason()
		}
	}
	return ""
}

// The service's report on its lines shows that one is stopped, and why.
func TestStandingIsSeen(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(ownSetUp)
	for _, c := range []struct {
		say, why string
		stands   bool
	}{{`{"stop": {"reason": "blades dull"}}`, "blades dull", true}, {`{"stop": {"reason": "no lumber"}}`, "no lumber", true}, {`{"restart": {}}`, "", false}, {`{"stop": {}}`, "", true}} {
		s.say(c.say)
		if l, open := h.UnderWay(5); open != 1 || l[0].Standing != c.stands || l[0].For != c.why {
			t.Errorf("after %s: %+v", c.say, l)
		}
	}
}
