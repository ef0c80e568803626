package sim

import (
	"testing"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A refused board that is sent again is sent with the axes as they stand by then, and its
// first message keeps what was measured for it.
func TestRefusedBoardIsMeasuredAnew(t *testing.T) {
	l := newLine(Config{Seed: 1, Boards: 2, SetUp: SetUp("anew"), Insist: true, Within: time.Second})
	first := l.control.Stands()
	board := &ripwrightv1.LineBoard{Board: Board(1, 0), MeasuredSetting: first}
	unmeasured := &ripwrightv1.LineBoard{Board: Board(1, 1)}
	for _, b := range []*ripwrightv1.LineBoard{board, unmeasured} {
		l.again = append(l.again, &sent{RunLineRequest: &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: b}}})
	}
	l.answered = int32(len(l.log)) // one message
	moved := l.control.Stands()
	*moved.FenceMm += 100
	l.control.Set(moved, 0)
	for _, want := range []*ripwrightv1.Setting{moved, nil} {
		if !l.more() {
			t.Fatal("no board was sent again")
		}
		got := l.log[len(l.log)-1].GetBoard().GetMeasuredSetting()
		if (got == nil) != (want == nil) || got.GetFenceMm() != want.GetFenceMm() {
			t.Errorf("sent again with %v, the axes stand at %v", got, want)
		}
	}
	if board.GetMeasuredSetting() != first {
		t.Error("the board as first sent has another measured setting")
	}
}
