package replay

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"slices"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Report compares a recording with its replay. Both sides are of the boards that
// the replay could plan.
type Report struct {
	Boards         int
	Same           int       // boards whose plan is the recorded one
	Refused        []Refusal // boards that the change has no plan for
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
	FaceM2, StripM2 float64
	CycleS          float64 // of boards whose cycle is known
	Cycles          int     // how many those are
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
	s.FaceM2 += p.GetAccount().GetFaceM2()
	s.StripM2 += p.GetAccount().GetStripM2()
	if c := answer.GetCycle(); c != nil {
		s.CycleS += c.GetTotalS()
		s.Cycles++
	}
	order := asked.GetOrder().GetOrderId()
	for _, f := range answer.GetFills() {
		s.item(Item{order, f.GetItemId()}).Open = f.GetOpen()
	}
	for _, k := range p.GetPockets() {
		if k.GetItemId() != "" {
			m := s.item(Item{order, k.GetItemId()})
			m.Strips++
			m.LengthM += k.GetCountedM()
			m.AreaM2 += k.GetCountedM() * k.GetWidthMm() / 1000
		}
	}
}

func (s *Side) item(i Item) *Made {
	if s.Items[i] == nil {
		s.Items[i] = &Made{}
	}
	return s.Items[i]
}

// Print writes the report for people.
func (r *Report) Print(w io.Writer) {
	a, b := &r.Recorded, &r.Then
	fmt.Fprintf(w, "%d boards replayed, %d with the plan that was recorded, %d refused\n", r.Boards, r.Same, len(r.Refused))
	fmt.Fprintf(w, "%-12s %14s %14s %14s\n", "", "recorded", "replayed", "change")
	row := func(what string, x, y float64) { fmt.Fprintf(w, "%-12s %14.4f %14.4f %+14.4f\n", what, x, y, y-x) }
	row("worth", a.Worth, b.Worth)
	row("yield, %", 100*a.Yield(), 100*b.Yield())
	if a.Cycles == r.Boards && b.Cycles == r.Boards {
		row("cycles, s", a.CycleS, b.CycleS)
	}
	all := maps.Clone(a.Items)
	maps.Copy(all, b.Items)
	keys := slices.SortedFunc(maps.Keys(all), func(x, y Item) int {
		return cmp.Or(cmp.Compare(x.OrderID, y.OrderID), cmp.Compare(x.ItemID, y.ItemID))
	})
	for _, k := range keys {
		x, y := a.item(k), b.item(k)
		row(k.ItemID+", m", x.LengthM, y.LengthM)
		if y.Open != nil {
			fmt.Fprintf(w, "%-12s %14s %14s\n", "  open", open(x.Open), open(y.Open))
		}
	}
	for _, f := range r.Refused {
		fmt.Fprintf(w, "refused: %s: %v\n", f.BoardID, f.Err)
	}
}

func open(a *ripwrightv1.Amount) string {
	switch v := a.GetAmount().(type) {
	case *ripwrightv1.Amount_LengthM:
		return fmt.Sprintf("%.3f m", v.LengthM)
	case *ripwrightv1.Amount_AreaM2:
		return fmt.Sprintf("%.3f m2", v.AreaM2)
	case *ripwrightv1.Amount_Pieces:
		return fmt.Sprintf("%d pieces", v.Pieces)
	}
	return "no limit"
}
