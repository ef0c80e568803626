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

// cutting is an order cut on a live line, one board after another: each is confirmed as
// planned, and the next one waits until values under way are planned. So nothing in it
// depends on speed.
type cutting struct {
	stream   ripwrightv1.RipService_RunLineClient
	sequence int32
	control  sim.Controller
	made     map[string]float64 // metres of strips in the plans, by item
	limited  bool               // the search for a board has a limit of work
	outcome
}

// outcome is what an order took.
type outcome struct {
	boards, unproven int
	face, strip, fee float64 // m2, and the price of the lumber
	hours            float64 // on the saw, by the service's estimate of cycles
	values           *ripwrightv1.ValuesInForce
}

// supply gives the boards that come, in sequence, and the price of each; false: there are
// no more.
type supply func(i int) (b *ripwrightv1.Board, fee float64, more bool)

// of gives boards without a price.
func of(boards []lumber.Kind) supply {
	return func(i int) (*ripwrightv1.Board, float64, bool) {
		if i >= len(boards) {
			return nil, 0, false
		}
		return written.Board(fmt.Sprint(i), &boards[i].Board), 0, true
	}
}

// errUntimely says that a planning lacked time or a worker: repeated, it would have had a
// result.
var errUntimely = errors.New("values were not planned")

// pollEvery is the interval at which values under way are polled.
const pollEvery = 2 * time.Millisecond

// everyItem requests the state of every item after every message.
var everyItem = &ripwrightv1.SolveOptions{Detail: &ripwrightv1.AnswerDetail{Fills: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL}}

// cut runs an order to its end and gives what it took, and how many plannings failed, and
// why.
func cut(ctx context.Context, client ripwrightv1.RipServiceClient, m *ripwrightv1.LineSetUp, next supply) (*outcome, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	c, a, err := begin(ctx, client, m)
	if err != nil {
		return nil, err
	}
	for a.GetFills() != nil && !filled(a) {
		b, fee, more := next(c.boards)
		if !more {
			return nil, fmt.Errorf("%d boards do not fill the order", c.boards)
		}
		if a, err = c.board(b); err != nil {
			return nil, fmt.Errorf("board %d: %w", c.boards, err)
		}
		c.boards++
		c.fee += fee
	}
	c.values = a.GetValues()
	return &c.outcome, c.end(a)
}

// begin starts a run and gives the answer to its set-up.
func begin(ctx context.Context, client ripwrightv1.RipServiceClient, m *ripwrightv1.LineSetUp) (*cutting, *ripwrightv1.RunLineResponse, error) {
	c := &cutting{control: sim.Controller{Saw: m.GetSaw(), Start: m.GetCurrentSetting()}, made: map[string]float64{}, limited: m.GetOptions().WorkLimit != nil}
	var err error
	if c.stream, err = client.RunLine(ctx); err != nil {
		return nil, nil, err
	}
	a, err := c.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: m}})
	if err != nil {
		return nil, nil, err
	}
	c.control.Fingerprint = a.GetStarted().GetReady().GetArborFingerprint()
	// The service answers a set-up before its values are planned if they take long.
	_, err = c.settled(a, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SumUp{SumUp: &ripwrightv1.LineSumUp{}}})
	return c, a, err
}

// settled waits until no values are under way, polling with a message that may be
// repeated, and gives the last answer.
func (c *cutting) settled(a *ripwrightv1.RunLineResponse, again *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
	var err error
	for err == nil && a.GetValuesUnderWay() {
		time.Sleep(pollEvery)
		a, err = c.say(again)
	}
	return a, err
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
		return nil, fmt.Errorf("got answer %d, want %d", a.GetSequence(), c.sequence)
	case a.GetRefused() != nil:
		return nil, fmt.Errorf("refused: %v", a.GetRefused())
	}
	return a, nil
}

// board has a board planned, checks the plan as a controller does, confirms it, and waits
// until no values are under way.
func (c *cutting) board(b *ripwrightv1.Board) (*ripwrightv1.RunLineResponse, error) {
	a, err := c.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: b}}})
	if err != nil {
		return nil, err
	}
	if f := a.GetValues().GetFailure(); f != "" && f != replan.ErrNothing.Error() {
		return nil, fmt.Errorf("%w: %s", errUntimely, f)
	}
	p := a.GetPlan()
	switch by := p.GetProof(); {
	case by.GetProven():
	case c.limited && by.GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_WORK_LIMIT:
		c.unproven++
	default:
		return nil, fmt.Errorf("not proven: %v", by)
	}
	if err := errors.Join(c.control.Check(b, p), c.control.Move(c.sequence, p)); err != nil {
		return nil, err
	}
	c.face += p.GetPlan().GetAccount().GetFaceM2()
	c.strip += p.GetPlan().GetAccount().GetStripM2()
	for _, k := range p.GetPlan().GetPockets() {
		if k.GetItemId() != "" {
			c.made[k.GetItemId()] += k.GetCountedLengthM()
		}
	}
	confirm := &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: &ripwrightv1.CutConfirmation{BoardSequence: c.sequence, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED}}}
	if a, err = c.say(confirm); err != nil {
		return nil, err
	}
	return c.settled(a, confirm)
}

// end ends the run and checks that the service's books equal the line's own. last is the
// previous answer.
func (c *cutting) end(last *ripwrightv1.RunLineResponse) error {
	for _, f := range last.GetFills() {
		if _, metres := f.GetRequired().GetAmount().(*ripwrightv1.Amount_LengthM); !metres {
			continue
		}
		made, wanted := c.made[f.GetItemId()], f.GetRequired().GetLengthM()
		if math.Abs(made-f.GetMade().GetLengthM()) > 1e-6*max(1, made) || made < wanted-1e-6 {
			return fmt.Errorf("%s: %g m of %g m made, the service has %g m", f.GetItemId(), made, wanted, f.GetMade().GetLengthM())
		}
	}
	a, err := c.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}})
	if err != nil {
		return err
	}
	s := a.GetSummary()
	if int(s.GetPlanned()) != c.boards || s.GetUnconfirmed() != 0 {
		return fmt.Errorf("%d boards cut; the summary has %d planned, %d unconfirmed", c.boards, s.GetPlanned(), s.GetUnconfirmed())
	}
	if face := s.GetAccount().GetFaceM2(); math.Abs(face-c.face) > 1e-6*max(1, face) {
		return fmt.Errorf("%g m2 cut; the summary has %g m2", c.face, face)
	}
	c.hours = s.GetCycleS() / 3600
	return nil
}

// filled reports whether nothing of the order is open.
func filled(a *ripwrightv1.RunLineResponse) bool {
	for _, f := range a.GetFills() {
		if o := f.GetOpen(); o.GetLengthM() > 0 || o.GetAreaM2() > 0 || o.GetPieces() > 0 {
			return false
		}
		for _, l := range f.GetLengths() {
			if l.GetOpen() > 0 {
				return false
			}
		}
	}
	return true
}
