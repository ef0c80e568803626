package wire

import (
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/wood"
)

// Cut lines are on the board as it was scanned, however it was turned. The board of
// skewed is 205 mm from its lowest near to its highest far edge. Turned end for end its
// near edge is at 5 and at 0 mm again, so that it lies as before, and a kerf that begins
// at 15 and at 10 mm there begins at 205 - 10 - 4 = 191 mm at the end that led when it
// was scanned, and at 186 at the other.
func TestCutLinesOfTurnedBoards(t *testing.T) {
	for turn, want := range map[wood.Turn][2]float64{
		wood.AsScanned: {15, 10},
		wood.EndForEnd: {191, 186},
	} {
		j, p := skewed()
		p.Turn = turn
		if got := j.cutLines(p)[0]; got.GetStartMm() != want[0] || got.GetEndMm() != want[1] {
			t.Errorf("%s: %v, want %v", turn, got, want)
		}
	}
	// Edge over edge the near edge is at 0 and at 5 mm: without a skew the first kerf is
	// at 10 mm, on the board as scanned at 205 - 10 - 4.
	for turn, want := range map[wood.Turn]float64{wood.EdgeOverEdge: 191, wood.EndOverEnd: 10} {
		j, p := skewed()
		p.Turn, p.Skew = turn, 0
		if got := j.cutLines(p)[0]; got.GetStartMm() != want || got.GetEndMm() != want {
			t.Errorf("%s: %v, want %v", turn, got, want)
		}
	}
}

// Every turn has a word, and every word but the first belongs to a turn.
func TestTurnWords(t *testing.T) {
	words := ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED.Descriptor().Values()
	if words.Len() != len(turns)+1 {
		t.Errorf("%d words for %d turns", words.Len(), len(turns))
	}
	for i := range turns {
		if got, ok := turnOf(turns[i]); !ok || got != wood.Turn(i) || turns[i] == ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED {
			t.Errorf("%s is %v", wood.Turn(i), turns[i])
		}
	}
}
