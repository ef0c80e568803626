package wire

import (
	"slices"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Line is the set-up of a live line, made ready for its boards.
type Line struct {
	RunID, OrderID string
	SawName        string // the name by which the saw was asked for; empty: it is written out
	Saw            Machine
	Items          []order.Item
	More           []Item // parallel to Items
	Wanted         []run.Wanted
	InFlight       int
	ReleaseAfter   int         // see run.Run
	Threshold      unit.Length // between stacks; 0: none
	Planning       *Planning   // of values; nil: none
	Drift          drift.Settings
	Bays           *Bays                 // of the outfeed; nil: as many as there are stacks
	Order          *ripwrightv1.CutOrder // from which Items were read; must not be changed
	Next           []*Line               // the same set-up with each of the waiting orders
	// OverlapFrom is the number of millionths of a board from which the last boards of an
	// order serve the next one too; 0: never.
	OverlapFrom int64

	options   rip.Options
	detail    *ripwrightv1.AnswerDetail
	price     int64
	timeLimit time.Duration
	turns     bool // plans may turn boards
	lies      *float64
	saws      Saws
}

// Mark is how metrics label the line's saw. If it was asked for by name the saw file says
// when its blades were changed, even during the run.
func (l *Line) Mark() Mark {
	if l.SawName != "" {
		if s, ok := l.saws.Find(l.SawName); ok {
			return s.Mark()
		}
	}
	return l.Saw.Mark()
}

// PlanningSaw is the saw for which values are planned: it turns boards if plans may.
func (l *Line) PlanningSaw() saw.Saw {
	s := l.Saw.Saw
	if !l.turns {
		s.Turns = nil
	}
	return s
}

// Defaults for boards that wait for confirmation. What a line's state holds of them,
// including runners-up, is bounded.
const (
	usualInFlight = 16
	usualRelease  = 16
	mostHeld      = 256
)

// SetUp reads a line's set-up. The error is a fault.List or an UnknownSaw. first says
// that a run begins with it; later an order may lack items to which planning rules apply.
func SetUp(m *ripwrightv1.LineSetUp, saws Saws, first bool) (*Line, error) {
	var r reader
	p := at(nil, "")
	r.text(&p, "run_id", m.GetRunId(), ownIDs)
	l := &Line{RunID: m.GetRunId(), SawName: m.GetSawName(), OrderID: m.GetOrder().GetOrderId(), Order: m.GetOrder(), saws: saws}
	var err error
	if l.Saw, err = r.choice(m, saws); err != nil {
		return nil, err
	}
	l.lies = r.stands(&l.Saw.Saw, m.GetCurrentSetting())
	l.Items, l.More = r.order(m.GetOrder())
	j := Job{Pace: l.Saw.Pace}
	r.options(&j, m.GetOptions())
	l.options, l.timeLimit, l.price, l.detail, l.turns = j.Options, j.TimeLimit, j.Price, j.Detail, j.Turns
	l.InFlight = r.count(&p, "boards_in_flight", m.BoardsInFlight, min(usualInFlight, mostHeld/(1+l.options.RunnersUp)), inFlight)
	if l.InFlight*(1+l.options.RunnersUp) > mostHeld {
		r.faults.Add("boards_in_flight", "is %d with %d runners-up each; at most %d plans are held in all",
			l.InFlight, l.options.RunnersUp, mostHeld)
	}
	l.ReleaseAfter = r.count(&p, "release_after_boards", m.ReleaseAfterBoards, usualRelease, releaseAfter)
	l.OverlapFrom = r.maybe(&p, "overlap_from_boards", m.OverlapFromBoards, millionths, overlapFrom)
	l.Threshold = r.maybeMM(&p, "stack_threshold_mm", m.StackThresholdMm, threshold)
	l.Drift = r.drift(m.GetDriftWatch())
	l.Bays = r.bays(m.GetOutfeedBays(), l.price)
	of := m.GetOrder()
	if !first {
		of = nil
	}
	l.Planning = r.planning(m.GetValuePlanning(), of)
	var below fault.List
	l.Next, below = r.next(m, saws)
	r.faults = append(r.faults, below...)
	if all := join(r.faults, append(demand.Faults(&l.Saw.Saw, l.Items), l.unplannable()...)); len(all) > 0 {
		return nil, all
	}
	l.Wanted = wanted(l.Items, l.More, m.GetOrder(), l.Saw.Step)
	return l, nil
}

// BeginAnew marks the items of the order whose count starts afresh.
func (l *Line) BeginAnew(ids []string) fault.List {
	var r reader
	p := at(nil, "")
	if !r.entries(&p, "begin_anew", len(ids), items) {
		return r.faults
	}
	for i, id := range ids {
		q := nth(&p, "begin_anew", i)
		k := slices.IndexFunc(l.Wanted, func(w run.Wanted) bool { return w.Item == id })
		switch {
		case k < 0:
			r.faults.Because(fault.UnknownName, q.path(""), "is %s, which the order does not have", quote(id))
		case l.Wanted[k].Anew:
			r.faults.Because(fault.Duplicate, q.path(""), "is %s, which is already named above", quote(id))
		default:
			l.Wanted[k].Anew = true
		}
	}
	return r.faults
}

// wanted gives the items in the form of a run's books, on a saw that stops at multiples
// of step.
func wanted(items []order.Item, more []Item, m *ripwrightv1.CutOrder, step unit.Length) []run.Wanted {
	out := make([]run.Wanted, len(items))
	for i := range items {
		it := &items[i]
		w := &out[i]
		w.Key = run.Key{Order: m.GetOrderId(), Item: it.ID}
		w.Count, w.Made, w.MadeSaid = more[i].Count, it.Made, m.GetItems()[i].Made != nil
		w.PieceLength, w.Joint, w.Stack, w.Range = it.PieceLength, it.Joint, more[i].Stack, it.Random
		w.Takes = run.Takes{Min: it.Min, Max: it.Max, Tolerance: it.Off(step), Least: it.LeastLength, CutKerf: it.CutKerf}
		for k, c := range it.Cuts {
			w.Cuts = append(w.Cuts, run.CutMade{Length: c.Length, Made: c.Made})
			w.CutsSaid = append(w.CutsSaid, m.GetItems()[i].GetCrosscut().GetLengths()[k].Made != nil)
		}
	}
	return out
}

// Board reads a board, the time within which it must be answered, and the saw's measured
// positions, or nil. Items and saw are copies: their state may be set.
func (l *Line) Board(m *ripwrightv1.LineBoard) (*Job, time.Duration, *Stand, error) {
	var r reader
	p := at(nil, "")
	within := r.maybe(&p, "answer_within_ms", m.AnswerWithinMs, 1e6, timeLimit)
	j := &Job{BoardID: m.GetBoard().GetBoardId(), PackID: m.GetBoard().GetPackId(), OrderID: l.OrderID, Mark: l.Mark(),
		Pace: l.Saw.Pace, Items: l.More, Options: l.options, TimeLimit: l.timeLimit, Price: l.price, Detail: l.detail, Turns: l.turns, lies: l.lies}
	j.Problem = rip.Problem{Board: r.board(m.GetBoard()), Saw: l.Saw.Saw, Items: order.CloneItems(l.Items)}
	j.Problem.Saw.Blades = slices.Clone(j.Problem.Saw.Blades)
	now := r.measured(j.Problem.Saw, m.GetMeasuredSetting())
	r.instructions(j, m.GetInstructions())
	j, err := r.done(j)
	return j, time.Duration(within), now, err
}

// Asked is a board's job as a SolveBoard request, for the recording: the order with what
// is made and reserved and the values in force, and the saw with its current positions.
func (l *Line) Asked(j *Job, m *ripwrightv1.LineBoard, setUp *ripwrightv1.LineSetUp) *ripwrightv1.SolveBoardRequest {
	o, stand := proto.CloneOf(setUp.GetOrder()), &ripwrightv1.Setting{SkewMmPerM: j.lies}
	for i, at := range standing(&j.Problem.Saw) {
		if i == 0 {
			stand.FenceMm = proto.Float64(at.MM())
		} else {
			stand.BladesMm = append(stand.BladesMm, at.MM())
		}
	}
	for i, m := range o.GetItems() {
		stands(m, &j.Problem.Items[i], l.More[i].Count)
	}
	l.askedAlso(j, o)
	return &ripwrightv1.SolveBoardRequest{Board: m.GetBoard(), Instructions: j.asInstructed(m.GetInstructions()), SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: l.Saw.Message},
		CurrentSetting: stand, Order: o, Options: setUp.GetOptions()}
}
