package main

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/resolver"
	"google.golang.org/grpc/resolver/manual"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// work is what callers do and measure.
type work struct {
	mu                   sync.Mutex
	boards, onLines      int
	quotes               int
	asked, quoted, lined []time.Duration // latencies, the most recent of many
	first                error           // error of a caller
}

// mostKept limits the latencies kept of each kind.
const mostKept = 1 << 20

func (w *work) note(err error, count *int, times *[]time.Duration, took time.Duration) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	if err != nil {
		if w.first == nil {
			w.first = err
		}
		return false
	}
	*count++
	if len(*times) < mostKept {
		*times = append(*times, took)
	} else {
		(*times)[*count%mostKept] = took
	}
	return true
}

// begin starts all callers. They end with ctx, or with their first error.
func (w *work) begin(ctx context.Context, all *sync.WaitGroup, o options, to []*replicas.Replica) error {
	for i := range o.callers + o.lines + o.quotes {
		conn, err := dial(to)
		if err != nil {
			return err
		}
		all.Go(func() {
			defer func() { _ = conn.Close() }()
			switch boards := ripwrightv1.NewRipServiceClient(conn); {
			case i < o.callers:
				w.ask(ctx, boards, uint64(i), o.runnersUp, o.pause)
			case i < o.callers+o.lines:
				w.line(ctx, boards, uint64(i), o.runnersUp)
			default:
				w.quote(ctx, ripwrightv1.NewPlanningServiceClient(conn))
			}
		})
	}
	return nil
}

// dial balances over all replicas.
func dial(to []*replicas.Replica) (*grpc.ClientConn, error) {
	names := manual.NewBuilderWithScheme("replicas")
	var s resolver.State
	for _, r := range to {
		s.Addresses = append(s.Addresses, resolver.Address{Addr: r.GRPC})
	}
	names.InitialState(s)
	codec.Register()
	return grpc.NewClient("replicas:///ripwright", grpc.WithResolvers(names), grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithDefaultServiceConfig(`{"loadBalancingConfig": [{"round_robin": {}}]}`))
}

// ask sends boards one after another.
func (w *work) ask(ctx context.Context, client ripwrightv1.RipServiceClient, seed uint64, runnersUp int32, pause time.Duration) {
	setUp := sim.SetUp("load")
	for n := 0; ctx.Err() == nil; n++ {
		b := sim.Board(seed, n%1000)
		if b.GetLengthMm() > 10_000 { // one that the saw does not take
			continue
		}
		began := time.Now()
		_, err := client.SolveBoard(context.WithoutCancel(ctx), &ripwrightv1.SolveBoardRequest{Board: b, Order: setUp.GetOrder(),
			Options: &ripwrightv1.SolveOptions{RunnersUp: runnersUp}, SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: setUp.GetSaw()}})
		if !w.note(err, &w.boards, &w.asked, time.Since(began)) {
			return
		}
		time.Sleep(pause)
	}
}

// line runs lines of 200 boards one after another, and checks that the books agree.
func (w *work) line(ctx context.Context, client ripwrightv1.RipServiceClient, seed uint64, runnersUp int32) {
	for n := uint64(0); ctx.Err() == nil; n++ {
		setUp := sim.SetUp(fmt.Sprintf("load-%d-%d", seed, n))
		setUp.Options.RunnersUp = runnersUp
		r, err := sim.Run(context.WithoutCancel(ctx), sim.Config{Seed: seed<<32 + n, Boards: 200, SetUp: setUp, Patience: time.Minute,
			Every: 10 * time.Millisecond,
			Dial:  func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return client, func() {}, nil }})
		if err == nil && len(r.Wrong) > 0 {
			err = fmt.Errorf("line %d, run %d: %s", seed, n, r.Wrong[0])
		}
		for range r.Summary.GetPlanned() {
			w.note(err, &w.onLines, &w.lined, r.Latency(0.99))
		}
		if err != nil {
			w.note(err, &w.onLines, &w.lined, 0)
			return
		}
	}
}

// quote requests quotes for an order of 700 m, with 20 simulations each.
func (w *work) quote(ctx context.Context, client ripwrightv1.PlanningServiceClient) {
	setUp := sim.SetUp("load")
	o := &ripwrightv1.CutOrder{OrderId: "quoted", Items: setUp.GetOrder().GetItems()[:2]}
	rows := []*ripwrightv1.TagRow{{WidthMm: 170, LengthMm: 2400, Count: proto.Int32(400)}, {WidthMm: 205, LengthMm: 3000, Count: proto.Int32(250)}}
	for ctx.Err() == nil {
		began := time.Now()
		_, err := client.QuoteOrder(context.WithoutCancel(ctx), &ripwrightv1.QuoteOrderRequest{Order: o, Simulations: proto.Int32(20),
			SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: setUp.GetSaw()},
			Lumber: &ripwrightv1.Lumber{Lots: []*ripwrightv1.Lot{{LotId: "pack", PricePerMbf: proto.Float64(4000),
				Source: &ripwrightv1.Lot_Tagged{Tagged: &ripwrightv1.PackTag{ThicknessMm: proto.Float64(26), Rows: rows}}}}}})
		if !w.note(err, &w.quotes, &w.quoted, time.Since(began)) {
			return
		}
	}
}

// report prints what was done and what it cost.
func (w *work) report(took time.Duration, cpu float64) {
	say := func(what string, n int, times []time.Duration) {
		if n == 0 {
			return
		}
		slices.Sort(times)
		at := func(part float64) time.Duration {
			return times[min(int(part*float64(len(times))), len(times)-1)].Round(time.Microsecond)
		}
		fmt.Printf("%s: %d in %v, %.0f a second; median %v, 99%% %v, most %v\n", what, n, took.Round(time.Second), float64(n)/took.Seconds(), at(0.5), at(0.99), at(1))
	}
	say("boards asked for", w.boards, w.asked)
	say("boards of lines (each run's 99%)", w.onLines, w.lined)
	say("quotes", w.quotes, w.quoted)
	fmt.Printf("processor: %.2f s, %.2f cores busy", cpu, cpu/took.Seconds())
	if n := w.boards + w.onLines; n > 0 && w.quotes == 0 {
		fmt.Printf("; %.0f boards a second per core", float64(n)/cpu)
	} else if w.quotes > 0 && n == 0 {
		fmt.Printf("; %.3f s a quote", cpu/float64(w.quotes))
	}
	fmt.Println()
}
