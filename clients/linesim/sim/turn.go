package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// turned gives a board's outline after it is turned as a plan says. The error says that
// it must not be turned that way.
func (c *Controller) turned(b *ripwrightv1.Board, turn ripwrightv1.BoardTurn) (*ripwrightv1.Board, error) {
	ends, edges := false, false
	switch turn {
	case ripwrightv1.BoardTurn_BOARD_TURN_UNSPECIFIED, ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED:
		return b, nil
	case ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END:
		ends, edges = true, true
	case ripwrightv1.BoardTurn_BOARD_TURN_EDGE_OVER_EDGE:
		edges = true
	case ripwrightv1.BoardTurn_BOARD_TURN_END_OVER_END:
		ends = true
	default:
		return nil, fmt.Errorf("the plan has an unknown turn, %v", turn)
	}
	switch {
	case !c.Turns:
		return nil, errors.New("the plan turns the board, but this line does not turn boards")
	case !slices.ContainsFunc(c.Saw.GetTurns(), func(t *ripwrightv1.SawTurn) bool { return t.GetTurn() == turn }):
		return nil, fmt.Errorf("the plan has %v, which the saw does not allow", turn)
	case edges && b.GetNearEdgeStraight():
		return nil, errors.New("the plan turns a straight edge away from the fence")
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range b.GetStations() {
		low, high = min(low, s.GetNearMm()), max(high, s.GetFarMm())
	}
	lies := &ripwrightv1.Board{BoardId: b.GetBoardId(), LengthMm: b.GetLengthMm(), NearEdgeStraight: b.GetNearEdgeStraight()}
	for _, s := range b.GetStations() {
		at := &ripwrightv1.Station{XMm: s.GetXMm(), NearMm: s.GetNearMm(), FarMm: s.GetFarMm()}
		if ends {
			at.XMm = b.GetLengthMm() - at.GetXMm()
		}
		if edges {
			at.NearMm, at.FarMm = low+high-s.GetFarMm(), low+high-s.GetNearMm()
		}
		lies.Stations = append(lies.Stations, at)
	}
	if ends {
		slices.Reverse(lies.Stations)
	}
	return lies, nil
}
