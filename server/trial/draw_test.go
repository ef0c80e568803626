package trial

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func drawn(t *testing.T, h *house, m *ripwrightv1.DrawPlanRequest) *ripwrightv1.DrawPlanResponse {
	t.Helper()
	v := h.both(t, m)
	answer, ok := v.answer.(*ripwrightv1.DrawPlanResponse)
	if !ok || v.status.Code() != codes.OK {
		t.Fatal(v)
	}
	wellFormed(t, answer.GetSvg())
	return answer
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		switch {
		case errors.Is(err, io.EOF):
			return
		case err != nil:
			t.Fatalf("%v in %s", err, svg)
		}
		if e, ok := token.(xml.StartElement); ok && (e.Name.Local == "script" || e.Name.Local == "a" || e.Name.Local == "foreignObject") {
			t.Fatalf("a %s in %s", e.Name.Local, svg)
		}
	}
}

// Without a setting the plan of SolveBoard is drawn, with its proof; with one, the plan
// of CheckPlan.
func TestDrawsThePlanOfTheOtherCalls(t *testing.T) {
	h := open(t)
	best := goodDraw(t)
	best.Setting, best.Options = nil, nil
	asked := goodSolve(t)
	asked.Options = nil
	got, want := drawn(t, h, best), solve(t, h, asked)
	if !proto.Equal(got.GetPlan(), want.GetPlan()) || !proto.Equal(got.GetProof(), want.GetProof()) ||
		got.GetSawFingerprint() != want.GetSawFingerprint() || got.GetBoardId() != want.GetBoardId() {
		t.Errorf("the drawn plan is %v\nand the solved plan %v", got, want)
	}

	check, given := goodCheck(t), goodDraw(t)
	checked, ok := h.both(t, check).answer.(*ripwrightv1.CheckPlanResponse)
	if !ok {
		t.Fatal("the setting could not be checked")
	}
	got = drawn(t, h, given)
	if !proto.Equal(got.GetPlan(), checked.GetPlan()) || got.GetProof() != nil || len(got.GetBrokenRules()) != 0 {
		t.Errorf("the drawn plan is %v\nand the checked plan %v", got, checked)
	}
	if !strings.Contains(got.GetSvg(), " in<") || strings.Contains(got.GetSvg(), " mm<") && !strings.Contains(got.GetSvg(), "y mm<") {
		t.Errorf("inches were asked for: %s", got.GetSvg())
	}
}

// The rules that a setting breaks are in the answer, by their paths in this request, and
// in the picture.
func TestDrawsBrokenRules(t *testing.T) {
	h := open(t)
	m := goodDraw(t)
	m.Setting.BladesMm[0] = 151
	got := drawn(t, h, m)
	if b := got.GetBrokenRules(); len(b) != 1 || b[0].GetPath() != "setting.blades_mm[0]" || !strings.Contains(b[0].GetSays(), "fixed at 150") {
		t.Errorf("broken rules %v", b)
	}
	if !strings.Contains(got.GetSvg(), "Do not saw by it") || !strings.Contains(got.GetSvg(), "this blade is fixed at 150") {
		t.Errorf("the picture does not warn: %s", got.GetSvg())
	}
	quiet(t, h)
}

func TestDrawTakesNoRunnersUp(t *testing.T) {
	h := open(t)
	m := goodDraw(t)
	m.Options.RunnersUp = 1
	refused(t, h, "runners-up", m, "options.runners_up", "must be 0 when one plan is drawn")
}
