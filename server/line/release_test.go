package line

import (
	"strings"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// released checks which boards' reservations an answer ended.
func released(t *testing.T, what string, a *ripwrightv1.RunLineResponse, boards ...int32) {
	t.Helper()
	ok := len(a.GetReleased()) == len(boards)
	for i := 0; ok && i < len(boards); i++ {
		ok = a.GetReleased()[i].GetBoardSequence() == boards[i] && a.GetReleased()[i].GetReleased()
	}
	if !ok {
		t.Errorf("%s: released %v, want %v", what, a.GetReleased(), boards)
	}
}

// A board that is passed by others which are cut loses its reservation and its place, is
// named once, and still counts if it is confirmed after all, on another stream too.
func TestReleased(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(strings.Replace(setUp, `"boards_in_flight": 2`, `"boards_in_flight": 2, "release_after_boards": 2`, 1))
	s.say(board) // 2
	s.say(board) // 3
	a := s.say(asPlan + `3}}`)
	released(t, "passed once", a)
	fill(t, "passed once", a, 36.3, 4.8, 120-41.1)
	s.say(board) // 5
	a = s.say(confirmed(5, "NOT_CUT", ""))
	released(t, "passed by one that was not cut", a)
	s.say(board) // 7
	a = s.say(asPlan + `7}}`)
	released(t, "passed twice", a, 2)
	fill(t, "passed twice", a, 41.1, 0, 120-41.1)
	s.say(board)                              // 9
	if a = s.say(board); a.GetPlan() == nil { // 10
		t.Fatalf("its place is not free: %v", a)
	}
	on := h.stream(t)
	if w := ready(on.resume(a.GetState())).GetUnconfirmed(); len(w) != 3 || !w[0].GetReleased() || w[1].GetReleased() {
		t.Errorf("resumed with %v", w)
	}
	a = on.say(asPlan + `2}}`)
	fill(t, "confirmed after all", a, 45.9, 9.6, 120-55.5)
	if !counted(a) {
		t.Error(a)
	}
	if sum := on.say(`{"end": {}}`).GetSummary(); sum.GetUnconfirmed() != 2 || sum.GetPlanned() != 6 {
		t.Errorf("%v", sum)
	}
}

// Boards that wait when another arbor comes into force are never cut by their plans. As
// many are remembered as may wait; of earlier ones only that there were any.
func TestReleasedByTheArbor(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(ownSetUp)
	saw := func(kerf string) *ripwrightv1.RunLineResponse {
		return s.say(`{"saw_change": {` + strings.Replace(ownSaw, "3.6", kerf, 1) + `}}`)
	}
	s.say(boardOf("a", 240, "")) // 2
	s.say(boardOf("b", 240, "")) // 3
	released(t, "the same arbor", saw("3.6"))
	released(t, "another arbor", saw("3.2"), 2, 3)
	released(t, "and back", saw("3.6"))
	starts(t, "after it", s.say(boardOf("c", 240, "")), ripwrightv1.StartBasis_START_BASIS_SET_UP, 0, 40, 260) // 7
	for range 3 {
		s.say(boardOf("d", 240, "")) // 8 to 10
	}
	released(t, "all that wait", saw("3.2"), 7, 8, 9, 10)
	if a := s.say(asPlan + `3}}`); a.GetSettled().GetResult() != ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_TOO_LONG_AGO {
		t.Errorf("one that is forgotten: %v", a)
	}
	if a := s.say(asPlan + `8}}`); !counted(a) {
		t.Errorf("one that is not: %v", a)
	}
	if sum := s.say(`{"end": {}}`).GetSummary(); sum.GetUnconfirmed() != 5 || sum.GetPlanned() != 6 {
		t.Errorf("%v", sum)
	}
}
