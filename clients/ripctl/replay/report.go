package replay

import (
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Report compares a recording with its replay. Both sides cover the boards that the
// replay could plan.
type Report struct {
	Boards         int
	Same           int       // boards whose plan equals the recorded one
	Refused        []Refusal // boards without a plan under the change
	Passed         Passed    // skipped lines
	Recorded, Then Side
}

// Refusal is a board that could not be planned.
type Refusal struct {
	BoardID string
	Err     error
}

// Side is one side of the comparison.
type Side struct {
	Worth           float64
	Turned          int     // number of boards turned
	TurnCost        float64 // the cost of turning them
	FaceM2, StripM2 float64
	CycleS          float64 // of boards whose cycle is known
	Cycles          int     // number of those boards
	Items           map[Item]*Made
}

// Item is an item of an order.
type Item struct{ OrderID, ItemID string }

// Made is what was made of an item.
type Made struct {
	Strips          int
	LengthM, AreaM2 float64
	Open            *ripwrightv1.Amount // after the last board; nil: no limit
}

// Yield is strips over face.
func (s *Side) Yield() float64 {
	if s.FaceM2 == 0 {
		return 0
	}
	return s.StripM2 / s.FaceM2
}

func newReport() *Report {
	return &Report{Recorded: Side{Items: map[Item]*Made{}}, Then: Side{Items: map[Item]*Made{}}}
}

func (r *Report) refuse(rec *Record, err error) {
	r.Refused = append(r.Refused, Refusal{rec.Request.GetBoard().GetBoardId(), err})
}

func (r *Report) add(rec *Record, asked *ripwrightv1.SolveBoardRequest, answer *ripwrightv1.SolveBoardResponse) {
	r.Boards++
	if proto.Equal(rec.Response.GetPlan(), answer.GetPlan()) {
		r.Same++
	}
	r.Recorded.add(rec.Request, rec.Response)
	r.Then.add(asked, answer)
}

func (s *Side) add(asked *ripwrightv1.SolveBoardRequest, answer *ripwrightv1.SolveBoardResponse) {
	p := answer.GetPlan()
	s.Worth += p.GetWorth()
	s.TurnCost += p.GetTurnCost()
	if p.GetSetting().GetTurn() > ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED {
		s.Turned++
	}
	s.FaceM2 += p.GetAccount().GetFaceM2()
	s.StripM2 += p.GetAccount().GetStripM2()
	if c := answer.GetCycle(); c != nil {
		s.CycleS += c.GetTotalS()
		s.Cycles++
	}
	order := asked.GetOrder().GetOrderId()
	for _, f := range answer.GetFills() {
		s.Of(Item{order, f.GetItemId()}).Open = f.GetOpen()
	}
	for _, k := range p.GetPockets() {
		if k.GetItemId() != "" {
			m := s.Of(Item{order, k.GetItemId()})
			m.Strips++
			m.LengthM += k.GetCountedLengthM()
			m.AreaM2 += k.GetCountedLengthM() * k.GetWidthMm() / 1000
		}
	}
}

// Of is what was made of an item, which may be nothing.
func (s *Side) Of(i Item) *Made {
	if s.Items[i] == nil {
		s.Items[i] = &Made{}
	}
	return s.Items[i]
}
