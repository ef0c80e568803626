package orders

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/testdata/written"
)

// cutting is an order cut on a live line, a board after the other: each is
// confirmed as planned, and values that are being planned are waited for before the
// next one. So nothing in it depends on how fast anything is.
type cutting struct {
	stream   ripwrightv1.RipService_RunLineClient
	sequence int32
	control  sim.Controller
	made     map[string]float64 // metres of strips in the plans, by item
}

// errUntimely is the error of a planning that had too little time or no worker:
// another time it would have come to something.
var errUntimely = errors.New("values were not planned")

// pollEvery is how long values under way are left alone between two questions.
const pollEvery = 2 * time.Millisecond

// everyItem asks for how every item stands after every message.
var everyItem = &ripwrightv1.SolveOptions{Detail: &ripwrightv1.AnswerDetail{Fills: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL}}

// cut runs an order to its end and gives how many of the boards it took. How many
// plannings came to nothing, and why, is told as well.
func cut(ctx context.Context, client ripwrightv1.RipServiceClient, m *ripwrightv1.LineSetUp, boards []lumber.Kind) (took int, failed *ripwrightv1.ValuesInForce, err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	c := cutting{control: sim.Controller{Saw: m.GetSaw(), Start: m.GetCurrentSetting()}, made: map[string]float64{}}
	if c.stream, err = client.RunLine(ctx); err != nil {
		return 0, nil, err
	}
	a, err := c.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: m}})
	if err != nil {
		return 0, nil, err
	}
	c.control.Fingerprint = a.GetStarted().GetReady().GetArborFingerprint()
	for a.GetFills() != nil && !filled(a) {
		if took == len(boards) {
			return 0, nil, fmt.Errorf("%d boards do not fill the order", took)
		}
		if a, err = c.board(written.Board(fmt.Sprint(took), &boards[took].Board)); err != nil {
			return 0, nil, fmt.Errorf("board %d: %w", took, err)
		}
		took++
	}
	return took, a.GetValues(), c.end(a, took)
}

// say sends a message and gives its answer, which must not be a refusal.
func (c *cutting) say(m *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
	c.sequence++
	m.Sequence = c.sequence
	if err := c.stream.Send(m); err != nil {
		_, err = c.stream.Recv() // which says why
		return nil, err
	}
	a, err := c.stream.Recv()
	switch {
	case err != nil:
		return nil, err
	case a.GetSequence() != c.sequence:
		return nil, fmt.Errorf("answer %d came where %d was due", a.GetSequence(), c.sequence)
	case a.GetRefused() != nil:
		return nil, fmt.Errorf("refused: %v", a.GetRefused())
	}
	return a, nil
}

// board has a board planned, checks the plan as a controller does, confirms it, and
// waits until no values are under way.
func (c *cutting) board(b *ripwrightv1.Board) (*ripwrightv1.RunLineResponse, error) {
	a, err := c.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: b}}})
	if err != nil {
		return nil, err
	}
	if f := a.GetValues().GetFailure(); f != "" && f != replan.ErrNothing.Error() {
		return nil, fmt.Errorf("%w: %s", errUntimely, f)
	}
	p := a.GetPlan()
	if !p.GetProof().GetProven() {
		return nil, fmt.Errorf("not proven: %v", p.GetProof())
	}
	if err := c.control.Move(b, p); err != nil {
		return nil, err
	}
	for _, k := range p.GetPlan().GetPockets() {
		if k.GetItemId() != "" {
			c.made[k.GetItemId()] += k.GetCountedLengthM()
		}
	}
	confirm := &ripwrightv1.CutConfirmation{BoardSequence: c.sequence, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED}
	for {
		a, err = c.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: confirm}})
		if err != nil || !a.GetValuesUnderWay() {
			return a, err
		}
		time.Sleep(pollEvery)
	}
}

// end ends the run and sees that the service's books are the line's own. last is
// the answer before.
func (c *cutting) end(last *ripwrightv1.RunLineResponse, took int) error {
	for _, f := range last.GetFills() {
		made, wanted := c.made[f.GetItemId()], f.GetRequired().GetLengthM()
		if math.Abs(made-f.GetMade().GetLengthM()) > 1e-6*max(1, made) || made < wanted-1e-6 {
			return fmt.Errorf("%s: %g m of %g m came out, %g m by the service", f.GetItemId(), made, wanted, f.GetMade().GetLengthM())
		}
	}
	a, err := c.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}})
	if err != nil {
		return err
	}
	if s := a.GetSummary(); int(s.GetPlanned()) != took || s.GetUnconfirmed() != 0 {
		return fmt.Errorf("%d boards cut, the summary has %d and %d unconfirmed", took, s.GetPlanned(), s.GetUnconfirmed())
	}
	return nil
}

// filled reports whether nothing of the order is open any more.
func filled(a *ripwrightv1.RunLineResponse) bool {
	for _, f := range a.GetFills() {
		if f.GetOpen().GetLengthM() > 0 {
			return false
		}
	}
	return true
}
