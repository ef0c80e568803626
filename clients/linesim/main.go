// Command linesim simulates the scanner and the saw controller of a live line, to try an
// integration with: it sends seeded boards, checks every plan as a controller must,
// confirms what it cut, breaks its connection if requested, and reports latencies and the
// summary. It exits with 1 if anything was wrong.
//
// `linesim orders` runs whole orders instead, and compares how many boards they take by
// planned values with the fewest that could have filled them. `linesim quotes` quotes
// orders of many kinds, cuts them, and counts how often the quotes held. `linesim lines`
// has three lines share orders, one of them killed.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"time"

	"github.com/spf13/pflag"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// others are the subcommands.
var others = map[string]func(ctx context.Context, args []string) error{"orders": runOrders, "quotes": runQuotes, "lines": runLines}

func main() {
	codec.Register()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if len(os.Args) > 1 {
		if run := others[os.Args[1]]; run != nil {
			if err := run(ctx, os.Args[2:]); err != nil {
				fmt.Fprintf(os.Stderr, "linesim %s: %v\n", os.Args[1], err)
				os.Exit(1)
			}
			return
		}
	}
	at := pflag.StringSlice("grpc", []string{"127.0.0.1:7420"}, "replicas of the service, HOST:PORT; each new stream goes to the next")
	seed := pflag.Uint64("seed", 1, "seed of boards, outcomes and breaks")
	boards := pflag.Int("boards", 200, "number of boards")
	pace := pflag.Float64("per-minute", 0, "boards per minute; 0: as fast as answers come")
	within := pflag.Duration("within", 0, "time within which an answer is due; 0: no limit")
	breaks := pflag.Float64("breaks", 0, "probability that the stream breaks after a message, 0 to 1")
	values := pflag.Int32("plan-values", 0, "replan values after this many boards; 0: keep the order's own")
	pflag.Parse()
	cfg := sim.Config{Seed: *seed, Boards: *boards, Within: *within, Breaks: *breaks, Patience: 30 * time.Second,
		SetUp: sim.SetUp(fmt.Sprintf("linesim-%d-%d", *seed, time.Now().UnixNano()))}
	if *values > 0 {
		cfg.SetUp.ValuePlanning = &ripwrightv1.ValuePlanning{ReplanEveryBoards: values}
	}
	if *pace > 0 {
		cfg.Every = time.Duration(float64(time.Minute) / *pace)
	}
	turn := 0
	cfg.Dial = func(context.Context) (ripwrightv1.RipServiceClient, func(), error) {
		conn, err := grpc.NewClient((*at)[turn%len(*at)], grpc.WithTransportCredentials(insecure.NewCredentials()))
		turn++
		if err != nil {
			return nil, nil, err
		}
		return ripwrightv1.NewRipServiceClient(conn), func() { _ = conn.Close() }, nil
	}
	r, err := sim.Run(ctx, cfg)
	if r != nil {
		r.Print(os.Stdout)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
	}
	if err != nil || len(r.Wrong) > 0 || r.Late > 0 || r.Missed > 0 {
		os.Exit(1)
	}
}
