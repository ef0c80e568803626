package command

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/clients/ripctl/session"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// running is a run of boards through a live line.
type running struct {
	job
	run, confirmAt, save, table string
	inFlight, runnersUp         int32
	stackThreshold, answer      float64
	sawHour                     float64
	patience                    time.Duration
	mustProve                   bool

	confirmations map[string]source // by board
	report        *lineReport
	waiting       []planned // boards whose confirmation is to come
	session       *session.Session
}

// planned is a board that was planned and the number of its message.
type planned struct {
	board
	sequence int32
}

func line(t *tool) *cobra.Command {
	k := &running{job: job{t: t}}
	c := &cobra.Command{
		Use:   "line --saw-file saws.yaml --order order.yaml boards.jsonl...",
		Short: "Run boards through a live line, with confirmations and a summary",
		Long: `Runs boards through a live line, as a line's own controller would: the set-up
once, then a board after the other with its confirmation, and at the end the run's
summary. Boards are confirmed as planned, but for those that --confirmations names.
When the connection breaks the run is resumed where it was, and nothing counts
twice. No saw is moved: what is sent here as cut is what you say.

What is written as JSON are the service's answers, without the state that they
carry for resuming.`,
		RunE: func(c *cobra.Command, args []string) error {
			if !slices.Contains(lineTables, k.table) {
				return usage("--table is %q; write one of %s", k.table, strings.Join(lineTables, ", "))
			}
			if k.patience < 0 {
				return usage("--reconnect is %s; write a time such as --reconnect 30s", k.patience)
			}
			if k.inFlight < 0 || k.inFlight > mostInFlight {
				return usage("--in-flight is %d; write 0 to %d", k.inFlight, mostInFlight)
			}
			if err := k.load(args); err != nil {
				return err
			}
			if err := k.loadConfirmations(); err != nil {
				return err
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			k.report = newLineReport(t, k.table, len(k.boards))
			k.session = &session.Session{Within: t.timeout, Patience: k.patience,
				Dial: func(ctx context.Context) (session.Stream, error) { return s.RunLine(ctx) },
				Broke: func(sequence int32, _ error) {
					fmt.Fprintf(t.err, "ripctl: the connection broke before message %d was answered; resuming the run\n", sequence)
				}}
			defer k.session.Close()
			return k.all(c.Context())
		},
	}
	k.flags(c)
	f := c.Flags()
	f.StringVar(&k.run, "run", "", "`name` of the run; without it one is made up of the time")
	f.StringVar(&k.confirmAt, "confirmations", "", "`file` with what became of boards that were not cut as planned")
	f.Int32Var(&k.inFlight, "in-flight", 2, "`boards` that are planned before the first of them is confirmed, as many as lie between scanner and outfeed")
	f.Int32Var(&k.runnersUp, "runners-up", 0, "give so many further plans for each board")
	f.Float64Var(&k.answer, "answer-within-ms", 0, "the best plan found in so many `ms` is the answer; 0: no limit but the service's own")
	f.Float64Var(&k.stackThreshold, "stack-threshold-mm", 0, "warn of items nearer in width than so many `mm` that go to different stacks")
	f.Float64Var(&k.sawHour, "saw-hour", 0, sawHourHelp)
	f.DurationVar(&k.patience, "reconnect", 30*time.Second, "how long to go on trying when the connection breaks")
	f.StringVar(&k.save, "save-order", "", "write the order with what is then made to this `file`, as JSON")
	f.BoolVar(&k.mustProve, "must-prove", false, "end with status 6 unless every plan is proven to be the best")
	f.StringVar(&k.table, "table", "plans", "`table` that --csv writes: "+strings.Join(lineTables, ", "))
	completes(c, "table", lineTables...)
	return c
}

// mostInFlight is one less than the boards that may wait for confirmation: the one
// that is planned waits as well.
const mostInFlight = 63

// loadConfirmations reads what became of boards; each must be one of the run.
func (k *running) loadConfirmations() error {
	k.confirmations = map[string]source{}
	if k.confirmAt == "" {
		return nil
	}
	f, err := k.t.open(k.confirmAt, files.Confirmations)
	if err != nil {
		return err
	}
	boards := map[string]int{}
	for _, b := range k.boards {
		boards[b.GetBoardId()]++
	}
	for i := range f.Messages {
		id, at := f.BoardID(i), source{f, i}
		switch _, twice := k.confirmations[id]; {
		case id == "":
			return input("%s is missing; name the board: board_id: %s", at.at("board_id"), k.boards[0].name())
		case boards[id] == 0:
			return input("%s is %q; no board is called so, the first one is %q", at.at("board_id"), id, k.boards[0].name())
		case boards[id] > 1:
			return input("%s is %q, as %d boards are called; give boards names of their own", at.at("board_id"), id, boards[id])
		case twice:
			return input("%s is %q, which is confirmed above already", at.at("board_id"), id)
		}
		k.confirmations[id] = at
	}
	return nil
}

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
	if err := k.report.end(a, k.order); err != nil {
		return failed(err)
	}
	if k.save != "" {
		k.made(a.GetFills())
		if err := saveOrder(k.save, k.order); err != nil {
			return failed(err)
		}
	}
	return k.report.verdict(k.mustProve)
}

// broken ends what is shown where it broke off.
func (k *running) broken(err error) error {
	k.report.abandon()
	return err
}

// made puts what the run made into the order.
func (k *running) made(fills []*ripwrightv1.LineFill) {
	for i, f := range fills {
		it := k.order.GetItems()[i]
		it.Made = f.GetMade()
		for n, l := range f.GetLengths() {
			it.GetCrosscut().GetLengths()[n].Made = l.GetMade()
		}
	}
}

func (k *running) setUp(ctx context.Context) error {
	if k.run == "" {
		k.run = "ripctl " + time.Now().UTC().Format("2006-01-02 15:04:05.000000")
	}
	up := &ripwrightv1.LineSetUp{RunId: k.run, Order: k.order, BoardsInFlight: k.inFlight + 1, StackThresholdMm: k.stackThreshold,
		Options: &ripwrightv1.SolveOptions{RunnersUp: k.runnersUp, PricePerSawHour: k.sawHour}}
	k.choose(up)
	a, err := k.ask(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: up}}, nil)
	if err != nil {
		return err
	}
	if r := a.GetRefused(); r != nil {
		return refusal(r, k.at("set_up.", board{}))
	}
	return failed(k.report.ready(a))
}

func (k *running) plan(ctx context.Context, b board) error {
	m := &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: b.Board, AnswerWithinMs: k.answer}}}
	a, err := k.ask(ctx, m, k.at("board.", b))
	if err != nil {
		return fmt.Errorf("board %s: %w", b.name(), err)
	}
	if a.GetPlan() != nil {
		k.waiting = append(k.waiting, planned{b, m.GetSequence()})
	}
	return failed(k.report.planned(b, a, k.at("board.", b)))
}

// confirm says what became of the board that waits longest.
func (k *running) confirm(ctx context.Context) error {
	b := k.waiting[0]
	k.waiting = k.waiting[1:]
	cut := &ripwrightv1.CutConfirmation{BoardSequence: b.sequence, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED}
	at, given := k.confirmations[b.GetBoardId()]
	if given {
		var err error
		if cut, err = at.file.Confirmation(at.index, b.sequence); err != nil {
			return failed(err)
		}
	}
	where := func(path string) string { return at.at(strings.TrimPrefix(path, "confirmation.")) }
	a, err := k.ask(ctx, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: cut}}, where)
	if err != nil {
		return err
	}
	if r := a.GetRefused(); r != nil {
		return fmt.Errorf("what became of board %s: %w", b.name(), refusal(r, where))
	}
	return failed(k.report.settled(a))
}

// ask sends a message and gives its answer.
func (k *running) ask(ctx context.Context, m *ripwrightv1.RunLineRequest, where func(string) string) (*ripwrightv1.RunLineResponse, error) {
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

// at tells where a field of a message stands; prefix is what the message calls
// itself.
func (k *running) at(prefix string, b board) func(string) string {
	flags := map[string]string{"run_id": "--run", "boards_in_flight": "--in-flight", "stack_threshold_mm": "--stack-threshold-mm",
		"options.runners_up": "--runners-up", "options.price_per_saw_hour": "--saw-hour", "answer_within_ms": "--answer-within-ms", "saw_name": "--saw"}
	return func(path string) string {
		path = strings.TrimPrefix(path, prefix)
		if flag, ok := flags[path]; ok {
			return flag
		}
		return k.where(b, nil)(path)
	}
}

// refusal is the error of a message that could not be followed.
func refusal(r *ripwrightv1.LineRefusal, where func(string) string) error {
	switch r.GetReason() {
	case ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY, ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE,
		ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT:
		return coded{fmt.Errorf("the service refuses this: %s", wordOf(r.GetReason())), statusServer}
	}
	return input("the service refuses this:\n%s", strings.Join(faults(r, where), "\n"))
}

func faults(r *ripwrightv1.LineRefusal, where func(string) string) (all []string) {
	for _, f := range r.GetFaults() {
		all = append(all, where(f.GetPath())+" "+f.GetSays())
	}
	return all
}
