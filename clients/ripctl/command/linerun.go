package command

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/clients/session"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// all runs the boards and ends the run.
func (k *running) all(ctx context.Context) error {
	if err := k.setUp(ctx); err != nil {
		return err
	}
	for _, b := range k.boards {
		for len(k.waiting) > int(k.inFlight) {
			if err := k.confirm(ctx); err != nil {
				return k.broken(err)
			}
		}
		if err := k.plan(ctx, b); err != nil {
			return k.broken(err)
		}
	}
	for len(k.waiting) > 0 {
		if err := k.confirm(ctx); err != nil {
			return k.broken(err)
		}
	}
	a, err := k.ask(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}}, nil)
	if err != nil {
		return k.broken(err)
	}
	if err := k.report.end(a, k.fills(a), k.order, k.next); err != nil {
		return failed(err)
	}
	if k.reportAt != "" {
		if err := k.report.writeShift(k.reportAt, a.GetSummary(), k.fills(a), k.order, k.sawSaid()); err != nil {
			return err
		}
	}
	if k.save != "" {
		k.count(k.fills(a))
		if err := saveOrder(k.save, k.order); err != nil {
			return failed(err)
		}
	}
	return k.report.verdict(k.mustProve)
}

// broken ends the output where it was interrupted.
func (k *running) broken(err error) error {
	k.report.abandon()
	return err
}

// fills are the state, at the end, of the order that the run started with.
func (k *running) fills(a *ripwrightv1.RunLineResponse) []*ripwrightv1.Fill {
	for _, o := range a.GetSummary().GetOrders() {
		if o.GetOrderId() == k.order.GetOrderId() {
			return o.GetFills()
		}
	}
	return a.GetFills()
}

// count adds what the run made to the order.
func (k *running) count(fills []*ripwrightv1.Fill) {
	for i, f := range fills {
		it := k.order.GetItems()[i]
		it.Made = f.GetMade()
		for n, l := range f.GetLengths() {
			it.GetCrosscut().GetLengths()[n].Made = proto.Int32(l.GetMade())
		}
	}
}

func (k *running) setUp(ctx context.Context) error {
	if k.run == "" {
		k.run = "ripctl " + time.Now().UTC().Format("2006-01-02 15:04:05.000000")
	}
	up := &ripwrightv1.LineSetUp{RunId: k.run, Order: k.order, BoardsInFlight: proto.Int32(k.inFlight + 1), StackThresholdMm: unlessZero(k.stackThreshold),
		Options: k.how.options()}
	if k.driftShift != 0 || k.driftScatter != 0 {
		up.DriftWatch = &ripwrightv1.DriftWatch{ShiftMm: unlessZero(k.driftShift), ScatterMm: unlessZero(k.driftScatter)}
	}
	if k.bays != 0 {
		up.OutfeedBays = &ripwrightv1.OutfeedBays{Bays: k.bays, ChangeS: k.bayChange}
		if k.measureBays != 0 {
			up.OutfeedBays.MeasureEveryBoards = &k.measureBays
		}
	}
	var next []source
	for _, name := range k.nextAt {
		f, err := k.t.open(name, files.Order)
		if err != nil {
			return err
		}
		o := &ripwrightv1.CutOrder{}
		if err := f.Into(0, o); err != nil {
			return failed(err)
		}
		k.next, next = append(k.next, o), append(next, source{f, 0})
	}
	up.NextOrders, up.OverlapFromBoards = k.next, unlessZero(k.overlap)
	k.choose(up)
	where := k.at("set_up.", board{})
	inNext := func(path string) string {
		var i int
		if _, err := fmt.Sscanf(path, "set_up.next_orders[%d]", &i); err == nil && i < len(next) {
			_, rest, _ := strings.Cut(path, "].")
			return next[i].at(rest)
		}
		return where(path)
	}
	a, err := k.ask(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: up}}, inNext)
	if err != nil {
		return err
	}
	if r := a.GetRefused(); r != nil {
		return refusal(r, inNext)
	}
	return failed(k.report.ready(a))
}

func (k *running) plan(ctx context.Context, b board) error {
	m := &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: b.Board, AnswerWithinMs: unlessZero(k.answer), Instructions: k.asked}}}
	a, err := k.ask(ctx, m, k.at("board.", b))
	if err != nil {
		return fmt.Errorf("board %s: %w", b.name(), err)
	}
	if a.GetPlan() != nil {
		k.waiting = append(k.waiting, planned{b, m.GetSequence(), a.GetPlan().GetCycle().GetTotalS(), !fed(a.GetPlan().GetDoNotFeed())})
	}
	return failed(k.report.planned(b, a, k.at("board.", b)))
}

// confirm confirms the board that has waited longest.
func (k *running) confirm(ctx context.Context) error {
	b := k.waiting[0]
	k.waiting = k.waiting[1:]
	if err := k.stand(ctx, b); err != nil {
		return err
	}
	cut := &ripwrightv1.CutConfirmation{BoardSequence: b.sequence, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED}
	if b.left {
		cut.Outcome = ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT
	}
	at, given := k.confirmations[b.GetBoardId()]
	if given {
		cut = &ripwrightv1.CutConfirmation{}
		if err := at.file.About(at.index, cut); err != nil {
			return failed(err)
		}
		cut.BoardSequence = b.sequence
	}
	cut.BoardId = b.GetBoardId()
	if wasCut(cut.GetOutcome()) {
		k.clock.s += b.cycle
	}
	where := func(path string) string { return at.at(strings.TrimPrefix(path, "confirmation.")) }
	a, err := k.ask(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: cut}}, where)
	if err != nil {
		return err
	}
	if r := a.GetRefused(); r != nil {
		return fmt.Errorf("what became of board %s: %w", b.name(), refusal(r, where))
	}
	return failed(k.report.settled(b.board, a, where))
}

// wasCut reports whether a board went through the saw.
func wasCut(o ripwrightv1.CutOutcome) bool {
	switch o {
	case ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT, ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK, ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE:
		return false
	default:
		return true
	}
}

// sawSaid is the name of the saw.
func (k *running) sawSaid() string {
	if k.saw != nil {
		return k.saw.GetName()
	}
	return k.sawName
}

// ask sends a message with its time, and gives the answer.
func (k *running) ask(ctx context.Context, m *ripwrightv1.RunLineRequest, where func(string) string) (*ripwrightv1.RunLineResponse, error) {
	m.AtS = k.clock.now()
	a, err := k.session.Ask(ctx, m)
	if errors.Is(err, session.ErrLate) {
		return nil, coded{fmt.Errorf("no answer within %s; wait longer with --timeout 2m", k.t.timeout), statusServer}
	}
	if err != nil {
		if where == nil {
			where = k.at("set_up.", board{})
		}
		return nil, k.t.explain(err, where)
	}
	return a, nil
}

// at locates a field of a message; prefix is the message's name in paths.
func (k *running) at(prefix string, b board) func(string) string {
	flags := map[string]string{"run_id": "--run", "boards_in_flight": "--in-flight", "stack_threshold_mm": "--stack-threshold-mm",
		"drift_watch.shift_mm": "--drift-shift-mm", "drift_watch.scatter_mm": "--drift-scatter-mm",
		"outfeed_bays.bays": "--bays", "outfeed_bays.change_s": "--bay-change-s", "outfeed_bays.measure_every_boards": "--measure-bays",
		"answer_within_ms": "--answer-within-ms", "saw_name": "--saw"}
	return func(path string) string {
		path = strings.TrimPrefix(path, prefix)
		if flag, ok := flags[path]; ok {
			return flag
		}
		return k.where(b, k.by.where)(path)
	}
}

// refusal is the error of a refused message.
func refusal(r *ripwrightv1.LineRefusal, where func(string) string) error {
	switch r.GetReason() {
	case ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY, ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE,
		ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT, ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_PLAN_WITHHELD:
		return coded{fmt.Errorf("the service refuses this: %s", wordOf(r.GetReason())), statusServer}
	default: // the message is at fault
		return input("the service refuses this:\n%s", strings.Join(faults(r, where), "\n"))
	}
}

func faults(r *ripwrightv1.LineRefusal, where func(string) string) (all []string) {
	for _, f := range r.GetFaults() {
		all = append(all, where(f.GetPath())+" "+f.GetSays())
	}
	return all
}
