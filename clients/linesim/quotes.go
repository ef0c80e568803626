package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/pflag"
	"google.golang.org/grpc"

	"github.com/ripwright/ripwright/clients/linesim/orders"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

var errNotKept = errors.New("quotes do not hold as often as they say")

// runQuotes is `linesim quotes`: orders of many kinds, quoted and then cut.
func runQuotes(ctx context.Context, args []string) error {
	f := pflag.NewFlagSet("linesim quotes", pflag.ExitOnError)
	at := f.String("grpc", "", "the service, HOST:PORT; empty: one in this process, whose searches no limit of time ends, so that a busy machine prints the same")
	var c orders.CoverageConfig
	f.IntVar(&c.Cuts, "cuts", 20, "how many orders of each kind are quoted and cut")
	f.Uint64Var(&c.Seed, "seed", 1, "what orders, boards and quotes are drawn from")
	f.Int32Var(&c.Simulations, "simulations", 19, "simulations of a quote; 19 are the fewest whose ranks give an interval at 90 %")
	f.Int32Var(&c.Every, "plan-values", 25, "have values planned again every so many boards")
	f.IntVar(&c.Together, "together", 1, "how many orders are quoted and cut at a time")
	f.IntSliceVar(&c.Kinds, "kinds", nil, "which kinds, by their numbers in the table from 1; empty: all")
	f.StringVar(&c.Notes, "notes", "", "a file that keeps what came of each quote as soon as it is known: begun again with it the command goes on where it was; empty: none")
	if err := f.Parse(args); err != nil {
		return err
	}
	if c.Cuts < 1 || c.Every < 1 || c.Simulations < 1 {
		return fmt.Errorf("--cuts, --plan-values and --simulations are %d, %d and %d; each has to be at least 1", c.Cuts, c.Every, c.Simulations)
	}
	connect := unhurried
	if *at != "" {
		connect = func() (*grpc.ClientConn, func(), error) { return service(*at) }
	}
	conn, end, err := connect()
	if err != nil {
		return err
	}
	defer end()
	c.Line, c.Planning = ripwrightv1.NewRipServiceClient(conn), ripwrightv1.NewPlanningServiceClient(conn)
	holds, err := orders.Coverage(ctx, c, os.Stdout)
	if err == nil && !holds {
		return errNotKept
	}
	return err
}
