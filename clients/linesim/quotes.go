package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"github.com/ripwright/ripwright/clients/linesim/orders"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

var errNotKept = errors.New("quotes are biased, or do not hold as often as their level states")

// runQuotes is `linesim quotes`: orders of many kinds, quoted and then cut.
func runQuotes(ctx context.Context, args []string) error {
	f := pflag.NewFlagSet("linesim quotes", pflag.ExitOnError)
	at := f.String("grpc", "", "the service, HOST:PORT; empty: build and start one on a clock that stands, so that results do not depend on load")
	var c orders.CoverageConfig
	f.IntVar(&c.Cuts, "cuts", 20, "number of orders of each kind to quote and cut")
	f.Uint64Var(&c.Seed, "seed", 1, "seed of orders, boards and quotes")
	f.Int32Var(&c.Simulations, "simulations", 19, "simulations of a quote; an interval at 90 % takes at least 19")
	f.Int32Var(&c.Every, "plan-values", 25, "replan values after this many boards")
	f.IntVar(&c.Together, "together", 1, "number of orders quoted and cut at a time")
	f.IntSliceVar(&c.Kinds, "kinds", nil, "kinds to try, by their numbers in the table, from 1; empty: all")
	f.StringVar(&c.Notes, "notes", "", "file of results: each is added as soon as it is known, and those in it are not repeated; empty: none")
	if err := f.Parse(args); err != nil {
		return err
	}
	if c.Cuts < 1 || c.Every < 1 || c.Simulations < 1 {
		return fmt.Errorf("--cuts, --plan-values and --simulations are %d, %d and %d; each must be at least 1", c.Cuts, c.Every, c.Simulations)
	}
	conn, end, err := service(*at, timeless)
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
