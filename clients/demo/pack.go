package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const (
	pictures   = 4  // boards drawn for each saw
	planBy     = 60 // boards that values are planned from
	mostPasses = 4  // passes through the pack, after which an order is left as it is
	price      = 4200
	perMBF     = 1000
)

// planned gives the order with values planned for all of it, and the items that no board
// can give on this saw.
func planned(ctx context.Context, s *service, boards []*ripwrightv1.Board, saw *ripwrightv1.Saw, o *ripwrightv1.CutOrder) (*ripwrightv1.CutOrder, []string, error) {
	lot := &ripwrightv1.ListedBoards{}
	for i := 0; i < len(boards); i += max(len(boards)/planBy, 1) {
		lot.Boards = append(lot.Boards, &ripwrightv1.CountedBoard{Board: boards[i]})
	}
	a, err := s.planning.PlanValues(ctx, &ripwrightv1.PlanValuesRequest{
		SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: saw}, Order: o, Objective: ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST,
		Lumber:      &ripwrightv1.Lumber{Lots: []*ripwrightv1.Lot{{PricePerMbf: proto.Float64(price), Source: &ripwrightv1.Lot_Listed{Listed: lot}}}},
		RelativeGap: proto.Float64(0.01),
	})
	if err != nil {
		return nil, nil, fmt.Errorf("planning values: %w", err)
	}
	o = proto.CloneOf(o)
	for i, v := range a.GetValues() {
		it := o.GetItems()[i]
		it.Value, it.ValuePer = v.GetValue(), v.GetValuePer()
	}
	var never []string
	for _, m := range a.GetImpossible() {
		never = append(never, m.GetItemId())
	}
	return o, never, nil
}

// rip sends the boards one after another until the order is filled, except for items that
// no board gives; after the last board comes the first again. What is made travels with
// the order from answer to answer, and fence and blades start where the last board left
// them: the service itself keeps nothing.
func rip(ctx context.Context, s *service, boards []*ripwrightv1.Board, saw *ripwrightv1.Saw, o *ripwrightv1.CutOrder, never []string) (*report, error) {
	r := &report{saw: saw, never: never, order: proto.CloneOf(o), strips: map[string]int{}}
	for i := 0; i < mostPasses*len(boards) && len(r.open()) > 0; i++ {
		b := boards[i%len(boards)]
		began := time.Now()
		a, err := s.rip.SolveBoard(ctx, &ripwrightv1.SolveBoardRequest{
			Board: b, SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: saw}, CurrentSetting: r.stands, Order: r.order,
		})
		if err != nil {
			return nil, fmt.Errorf("board %s: %w", b.GetBoardId(), err)
		}
		r.answered = append(r.answered, time.Since(began))
		r.add(a)
	}
	return r, nil
}

// draw writes pictures of the first boards of the pack to the pictures folder.
func draw(ctx context.Context, s *service, boards []*ripwrightv1.Board, saw *ripwrightv1.Saw, o *ripwrightv1.CutOrder, number int) error {
	for _, b := range boards[:min(pictures, len(boards))] {
		d, err := s.rip.DrawPlan(ctx, &ripwrightv1.DrawPlanRequest{Board: b, SawChoice: &ripwrightv1.DrawPlanRequest_Saw{Saw: saw}, Order: o})
		if err != nil {
			return fmt.Errorf("drawing board %s: %w", b.GetBoardId(), err)
		}
		name := filepath.Join(out, fmt.Sprintf("saw%d-%s.svg", number+1, b.GetBoardId()))
		if err := os.WriteFile(name, []byte(d.GetSvg()), 0o600); err != nil {
			return err
		}
	}
	return nil
}
