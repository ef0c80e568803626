package command

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/clients/session"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// running is a run of boards through a live line.
type running struct {
	job
	run, confirmAt, save, table string
	nextAt                      []string // files of the waiting orders
	overlap                     float64  // boards before an order's end that serve the next one too
	next                        []*ripwrightv1.CutOrder
	inFlight                    int32
	how                         search
	by                          instructions
	asked                       *ripwrightv1.Instructions // nil: none
	stackThreshold, answer      float64
	driftShift, driftScatter    float64
	bays, measureBays           int32
	bayChange                   float64
	reportAt                    string
	clock                       clock
	patience                    time.Duration
	mustProve                   bool

	confirmations map[string]source // by board
	report        *lineReport
	waiting       []planned // boards not yet confirmed
	session       *session.Session
}

// planned is a planned board and the number of its message.
type planned struct {
	board
	sequence int32
	cycle    float64 // in s; 0: not known
	left     bool    // its plan violates the instructions
}

func line(t *tool) *cobra.Command {
	k := &running{job: job{t: t}}
	c := &cobra.Command{
		Use:   "line --saw-file saws.yaml --order order.yaml boards.jsonl...",
		Short: "Run boards through a live line, with confirmations and a summary",
		Long: `Runs boards through a live line, as a line's own controller would: the set-up
once, then one board after another, each with its confirmation, and at the end the
run's summary. Boards are confirmed as planned, except those that --confirmations
names. When the connection breaks the run is resumed where it was, and nothing
counts twice. No saw is moved: what counts as cut is what you say.

--json writes the service's answers, without the state that they carry for resuming.

--force, --forbid, --lock and --least-yield say what the operator wants of every
board, as with solve. A board that has no such plan is confirmed as not cut.

--shift-report writes a page for the noticeboard and the file: boards an hour,
running and standing time, stops, what was made, where the wood went. It prints
on one sheet. A board takes as long as its plan says; --stops says when the line
was stopped.`,
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
			if k.bays == 0 && (k.bayChange != 0 || k.measureBays != 0) {
				return usage("--bay-change-s and --measure-bays are about bays; say how many there are: --bays 6")
			}
			if err := k.load(args); err != nil {
				return err
			}
			asked, err := k.by.read()
			if err != nil {
				return err
			}
			k.asked = asked
			if err := k.loadConfirmations(); err != nil {
				return err
			}
			if err := k.loadStops(); err != nil {
				return err
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			k.report = newLineReport(t, k.table, len(k.boards))
			k.report.overlap = k.overlap != 0
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
	f.StringVar(&k.run, "run", "", "`name` of the run; by default made from the time")
	f.StringVar(&k.confirmAt, "confirmations", "", "`file` with what became of boards that were not cut as planned")
	f.StringArrayVar(&k.nextAt, "next-order", nil, "`file` of an order that waits until the one before it is full; may be given again, in sequence")
	f.Float64Var(&k.overlap, "overlap-from", 0, "let boards serve the next order too once the order needs at most this many `boards`; 1: the board that could finish it, 0: none")
	f.Int32Var(&k.inFlight, "in-flight", 2, "`boards` that are planned before the first of them is confirmed, as many as lie between scanner and outfeed")
	k.how.flags(f, true)
	k.by.flags(f)
	f.Float64Var(&k.answer, "answer-within-ms", 0, "answer with the best plan found within this many `ms`; 0: only the service's own limit")
	f.Float64Var(&k.stackThreshold, "stack-threshold-mm", 0, "warn of items that go to different stacks and are closer in width than this many `mm`")
	f.DurationVar(&k.patience, "reconnect", 30*time.Second, "how long to keep trying when the connection breaks")
	f.Float64Var(&k.driftShift, "drift-shift-mm", 0, "report pockets whose measured widths have shifted by this many `mm` or more; 0: the service's 0.25")
	f.Float64Var(&k.driftScatter, "drift-scatter-mm", 0, "the standard deviation of measured less planned widths while all is well, in `mm`; 0: estimated from the run")
	f.Int32Var(&k.bays, "bays", 0, "`number` of bays of the outfeed, each for one stack at a time; 0: no limit")
	f.Float64Var(&k.bayChange, "bay-change-s", 0, "`seconds` to change the stack of a bay")
	f.Int32Var(&k.measureBays, "measure-bays", 0, "how often to search what the bays cost, in `boards`; 0: the service's 10")
	f.StringVar(&k.clock.stopsAt, "stops", "", "`file` that says when the line was stopped, by the board that was cut next, and why")
	f.StringVar(&k.reportAt, "shift-report", "", "write a report of the shift to this `file`, an HTML page that prints on one sheet")
	f.StringVar(&k.save, "save-order", "", "write the order with what is then made to this `file`, as JSON")
	f.BoolVar(&k.mustProve, "must-prove", false, "end with status 6 unless every plan is proven to be the best")
	f.StringVar(&k.table, "table", "plans", "`table` that --csv writes: "+strings.Join(lineTables, ", "))
	completes(c, "table", lineTables...)
	return c
}

// mostInFlight is one less than the number of boards that may wait for confirmation: the
// one being planned waits as well.
const mostInFlight = 63

// loadConfirmations reads confirmations of boards; each board must be one of the run.
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
			return input("%s is %q; no board has that name; the first one is %q", at.at("board_id"), id, k.boards[0].name())
		case boards[id] > 1:
			return input("%s is %q, the name of %d boards; give each board a name of its own", at.at("board_id"), id, boards[id])
		case twice:
			return input("%s is %q, which is already confirmed above", at.at("board_id"), id)
		}
		k.confirmations[id] = at
	}
	return nil
}
