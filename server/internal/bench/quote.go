package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/testdata/written"
)

// The boards of a quote, the wall time that it may take on two cores, and the boards that
// a core should solve in a second of its time.
const (
	quotedBoards = 10_000
	quotedWithin = 1500 * time.Millisecond
	quotedRate   = 10_000.0
)

// spread is lumber for quotes of the demo's order.
var spread = &ripwrightv1.Lumber{Lots: []*ripwrightv1.Lot{{Source: &ripwrightv1.Lot_Spread{Spread: &ripwrightv1.BoardSpread{
	MeanWidthMm: 240, WidthSdMm: 50, MinWidthMm: 120, MaxWidthMm: 420, CrookMm: 8, TaperMm: 15,
	Lengths: []*ripwrightv1.LengthShare{{LengthMm: 2400, Share: proto.Int32(1)}, {LengthMm: 3600, Share: proto.Int32(1)}}}}}}}

// quote measures quotes of an invented order, whose runs rip about 10,000 boards under
// one choice of values each, and of the demo's order, whose random range makes every
// board take far longer: by wall time, and by the cores' time for the service. The least
// of three counts.
func quote(conn *grpc.ClientConn) error {
	of, _, err := board()
	if err != nil {
		return err
	}
	demo := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_SawName{SawName: of.GetSawName()},
		Order: of.GetOrder(), Lumber: spread, Simulations: proto.Int32(runs / 3)}
	client := ripwrightv1.NewPlanningServiceClient(conn)
	for _, q := range []struct {
		name     string
		of       *ripwrightv1.QuoteOrderRequest
		values   ripwrightv1.ValueChoice
		targeted bool
	}{
		{"a quote by its own values", widths(), ripwrightv1.ValueChoice_VALUE_CHOICE_OWN, true},
		{"a quote by planned values", widths(), ripwrightv1.ValueChoice_VALUE_CHOICE_PLANNED, true},
		{"the demo's, with a random range", demo, ripwrightv1.ValueChoice_VALUE_CHOICE_PLANNED, false},
	} {
		m := proto.CloneOf(q.of)
		m.Values = q.values
		var least quoting
		for i := range 3 {
			got, err := timedQuote(client, m)
			if err != nil {
				return err
			}
			if i == 0 || got.clock < least.clock {
				least = got
			}
		}
		rate := least.solved / least.cores.Seconds()
		fmt.Printf("%-42s %.0f boards in %v by the clock, %.0f solves in %v of cores' time\n", q.name, least.boards,
			least.clock.Round(time.Millisecond), least.solved, least.cores.Round(time.Millisecond))
		if !q.targeted {
			fmt.Printf("%-42s measured %10.0f\n", "  solves a second per core", rate)
			continue
		}
		row("  10,000 boards by the clock", time.Duration(float64(least.clock)*quotedBoards/least.boards), quotedWithin)
		fmt.Printf("%-42s measured %10.0f  wanted %8.0f  %s\n", "  solves a second per core", rate, quotedRate, verdict(rate >= quotedRate))
	}
	return nil
}

// runs of a quote that does not set their number.
const runs = 39

// widths is an invented order of ten widths. All its runs together take slightly more
// than quotedBoards.
func widths() *ripwrightv1.QuoteOrderRequest {
	p := invented.Order(1, quotedBoards/runs)
	lot := p.Lots[0].From.(lumber.Spread)
	return &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: written.Saw(&p.Values.Saw, &p.Pace)},
		Order: &ripwrightv1.CutOrder{OrderId: "invented", Items: written.Items(p.Values.Items)}, Lumber: written.Lumber(p.Lots[0].Price, &lot),
		Simulations: proto.Int32(runs), Objective: ripwrightv1.PlanObjective_PLAN_OBJECTIVE_BOARDS}
}

// ripped is the number of boards that all simulations of a quote ripped.
func ripped(a *ripwrightv1.QuoteOrderResponse) float64 {
	return a.GetQuote().GetBoards().GetMean() * float64(a.GetQuote().GetSimulations())
}

// quoting is the measurement of one quote.
type quoting struct {
	boards, solved float64 // boards ripped, and boards solved for that and for planning
	clock, cores   time.Duration
}

func timedQuote(client ripwrightv1.PlanningServiceClient, m *ripwrightv1.QuoteOrderRequest) (q quoting, err error) {
	solved, err := boardsQuoted()
	if err != nil {
		return q, err
	}
	busy, err := metric("process_cpu_seconds_total")
	if err != nil {
		return q, err
	}
	begin := time.Now()
	a, err := client.QuoteOrder(context.Background(), m)
	q.clock = time.Since(begin)
	if err != nil {
		return q, err
	}
	q.boards = ripped(a)
	used, err := metric("process_cpu_seconds_total")
	if err != nil {
		return q, err
	}
	q.cores = time.Duration((used - busy) * float64(time.Second))
	now, err := boardsQuoted()
	q.solved = now - solved
	return q, err
}

// boardsQuoted is the number of boards that the service has solved for quotes.
func boardsQuoted() (float64, error) {
	return metric(`ripwright_plan_boards_solved_total{call="QuoteOrder"}`)
}

// metric reads one of the service's metrics.
func metric(name string) (float64, error) {
	answer, err := http.Get("http://" + httpAt + "/metrics")
	if err != nil {
		return 0, err
	}
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return 0, err
	}
	found := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(name) + ` (\S+)$`).FindSubmatch(text)
	if found == nil {
		return 0, errors.New("the service has no metric " + name)
	}
	return strconv.ParseFloat(string(found[1]), 64)
}
