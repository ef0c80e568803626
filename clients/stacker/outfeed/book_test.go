package outfeed

import (
	"fmt"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// talk plays the part of a line and a service, as a test directs.
type talk struct {
	t    *testing.T
	b    *Book
	next int32
}

func begin(t *testing.T, when When) *talk {
	k := &talk{t, New(when), 0}
	k.b.Opened()
	k.setUp()
	return k
}

func state(n int32) []byte { return fmt.Appendf(nil, "state %d", n) }

func (k *talk) send(m *ripwrightv1.RunLineRequest) int32 {
	k.next++
	m.Sequence = k.next
	k.b.Sent(m)
	return k.next
}

func (k *talk) answer(n int32, a *ripwrightv1.RunLineResponse) {
	a.Sequence, a.State = n, state(n)
	k.b.Answered(a)
}

func (k *talk) setUp() {
	n := k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: &ripwrightv1.LineSetUp{
		Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "slat", Stack: "4"}, {ItemId: "stile", Stack: "1"}}}}}})
	k.answer(n, &ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Started{Started: &ripwrightv1.LineStarted{Ready: &ripwrightv1.LineReady{}}}})
}

func resumed(unconfirmed ...int32) *ripwrightv1.RunLineResponse {
	r := &ripwrightv1.LineReady{}
	for _, n := range unconfirmed {
		r.Unconfirmed = append(r.Unconfirmed, &ripwrightv1.UnconfirmedBoard{BoardSequence: n})
	}
	return &ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Resumed{Resumed: &ripwrightv1.LineResumed{Ready: r}}}
}

func pocket(item string, width float64, stack string) *ripwrightv1.Pocket {
	return &ripwrightv1.Pocket{ItemId: item, WidthMm: width, Stack: stack}
}

// board gets a plan with edging, a stile, waste and a slat, and a runner-up of one slat;
// it gives the board's sequence.
func (k *talk) board(id string) int32 {
	n := k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{}}})
	k.answer(n, &ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Plan{Plan: &ripwrightv1.LinePlan{BoardId: id,
		Plan:      &ripwrightv1.Plan{Pockets: []*ripwrightv1.Pocket{pocket("", 12, ""), pocket("stile", 66, "1"), pocket("", 31, ""), pocket("slat", 38, "4"), pocket("", 50, "")}},
		RunnersUp: []*ripwrightv1.Plan{{Pockets: []*ripwrightv1.Pocket{pocket("slat", 38, "4")}}}}}})
	return n
}

func (k *talk) confirm(c *ripwrightv1.CutConfirmation, counted bool) {
	n := k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: c}})
	result := ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED
	if !counted {
		result = ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_BEFORE
	}
	k.answer(n, &ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Settled{Settled: &ripwrightv1.LineSettled{BoardSequence: c.GetBoardSequence(), Result: result}}})
}

func (k *talk) cut(n int32, o ripwrightv1.CutOutcome) {
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: n, Outcome: o}, true)
}

func (k *talk) want(state State, board, strips, next string) {
	k.t.Helper()
	v := k.b.View()
	if v.State != state || v.BoardID != board || show(v.Strips) != strips || v.NextID != next {
		k.t.Errorf("%s %q %s, next %q; want %s %q %s, next %q", v.State, v.BoardID, show(v.Strips), v.NextID, state, board, strips, next)
	}
}

func show(all []Strip) (text string) {
	for _, s := range all {
		if s.Waste {
			text += fmt.Sprintf("(%g)", s.WidthMM)
		} else {
			text += fmt.Sprintf("[%s %g to %s]", s.ItemID, s.WidthMM, s.Stack)
		}
	}
	return text
}

const (
	asPlanned = ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED
	asDrawn   = "[stile 66 to 1](31)[slat 38 to 4]"
)

func TestBoardsComeOutAsTheyAreConfirmed(t *testing.T) {
	k := begin(t, AtConfirmation)
	k.want(Waiting, "", "", "")
	a, b := k.board("a"), k.board("b")
	k.want(Waiting, "", "", "a")
	k.cut(a, asPlanned)
	k.want(Shown, "a", asDrawn, "b")
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: a, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT}, false)
	k.want(Shown, "a", asDrawn, "b") // settled before: nothing changes
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: b, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP}, true)
	k.want(Shown, "b", "[slat 38 to 4]", "")
	k.cut(k.board("c"), ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT)
	k.want(NotCut, "c", "", "")
	k.cut(k.board("d"), ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK)
	k.want(NotCut, "d", "", "")
	k.cut(k.board("aside"), ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE)
	k.want(NotCut, "aside", "", "")
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: k.board("e"), Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED,
		Strips: []*ripwrightv1.CutStrip{{ItemId: "slat", WidthMm: 37.9}, {ItemId: "stile", WidthMm: 65.8, Stack: "9"}, {WidthMm: 20}}}, true)
	k.want(Shown, "e", "[slat 37.9 to 4][stile 65.8 to 9](20)", "")
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: k.board("f"), Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP, RunnerUp: proto.Int32(3)}, true)
	k.want(Unknown, "f", "", "")
	k.answer(k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_End{}}),
		&ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_Summary{Summary: &ripwrightv1.RunSummary{}}})
	k.want(Waiting, "", "", "")
}

// If lines confirm after stacking, the board that has waited longest comes out.
func TestBoardsComeOutAsTheyArePlanned(t *testing.T) {
	k := begin(t, BeforeConfirmation)
	a := k.board("a")
	k.want(Shown, "a", asDrawn, "")
	k.board("b")
	k.want(Shown, "a", asDrawn, "b")
	k.cut(a, asPlanned)
	k.want(Shown, "b", asDrawn, "")
}

// A resume from a state that was seen continues; the board that came out before is not
// shown again.
func TestResume(t *testing.T) {
	k := begin(t, AtConfirmation)
	a := k.board("a")
	b := k.board("b")
	k.cut(a, asPlanned)
	last := k.next
	k.b.Closed()
	k.want(NoLine, "", "", "")
	k.b.Opened()
	k.b.Sent(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: state(last)}}})
	k.answer(last, resumed(b))
	k.want(Waiting, "", "", "b")
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: b, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED, Strips: []*ripwrightv1.CutStrip{{ItemId: "slat", WidthMm: 38}}}, true)
	k.want(Shown, "b", "[slat 38 to 4]", "")
}

// Another run has the same numbers for other boards: nothing seen before may be taken as
// belonging to it.
func TestResumeOfAnotherRun(t *testing.T) {
	k := begin(t, AtConfirmation)
	a := k.board("a")
	k.b.Closed()
	k.b.Opened()
	k.b.Sent(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: []byte("of another run")}}})
	k.answer(k.next, resumed(a))
	k.cut(a, asPlanned)
	k.want(Unknown, "", "", "")
	// Of a board that is planned from now on everything is known except its order's
	// stacks.
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: k.board("c"), Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED, Strips: []*ripwrightv1.CutStrip{{ItemId: "slat", WidthMm: 38}}}, true)
	k.want(Shown, "c", "[slat 38 to ]", "")
}

// After a resume from an earlier state an order is sent again. Until then stacks may be
// those of the order before it.
func TestResumeFromAnEarlierState(t *testing.T) {
	k := begin(t, AtConfirmation)
	early := k.next
	n := k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_OrderChange{OrderChange: &ripwrightv1.OrderChange{
		Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "slat", Stack: "7"}}}}}})
	k.answer(n, &ripwrightv1.RunLineResponse{Answer: &ripwrightv1.RunLineResponse_OrderChanged{OrderChanged: &ripwrightv1.LineOrderChanged{Ready: &ripwrightv1.LineReady{}}}})
	k.board("lost")
	k.want(Waiting, "", "", "lost")
	k.b.Closed()
	k.b.Opened()
	k.b.Sent(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: state(early)}}})
	k.answer(early, resumed())
	k.want(Waiting, "", "", "") // the run no longer knows that board
	k.next = early
	k.confirm(&ripwrightv1.CutConfirmation{BoardSequence: k.board("a"), Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED, Strips: []*ripwrightv1.CutStrip{{ItemId: "slat", WidthMm: 38}}}, true)
	k.want(Shown, "a", "[slat 38 to ]", "")
}

func TestTwoLinesShowNone(t *testing.T) {
	k := begin(t, AtConfirmation)
	k.cut(k.board("a"), asPlanned)
	k.b.Opened()
	k.want(TwoLines, "", "", "")
}
