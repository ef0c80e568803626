package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"runtime"

	"github.com/spf13/pflag"

	"github.com/ripwright/ripwright/clients/linesim/orders"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

var errFarOff = errors.New("planned values exceed the hindsight bound by more than --within or --at-worst allows")

// runOrders is `linesim orders`: whole orders by planned values, compared with others and
// with the bound in hindsight.
func runOrders(ctx context.Context, args []string) error {
	f := pflag.NewFlagSet("linesim orders", pflag.ExitOnError)
	at := f.String("grpc", "", "the service, HOST:PORT; empty: build and start one")
	var c orders.Config
	f.IntVar(&c.Orders, "seeds", 20, "number of orders; their seeds count from 0")
	f.IntVar(&c.Boards, "boards", 1000, "boards that an order takes, approximately")
	f.Int32Var(&c.Every, "plan-values", 25, "replan values after this many boards")
	f.IntVar(&c.Together, "together", min(2, runtime.NumCPU()), "number of orders run at a time")
	f.Float64Var(&c.Within, "within", 1, "how far planned values may exceed the hindsight bound at the median, in per cent")
	f.BoolVar(&c.Tags, "tags", false, "draw boards from pack tags of 2 to 6 kinds and tell lines what to expect; without it boards come from spreads")
	f.Float64Var(&c.AtWorst, "at-worst", 0, "how far they may exceed it at worst, in per cent; 0: no limit")
	if err := f.Parse(args); err != nil {
		return err
	}
	if c.Orders < 1 || c.Boards < 1 || c.Every < 1 {
		return fmt.Errorf("--seeds, --boards and --plan-values are %d, %d and %d; each must be at least 1", c.Orders, c.Boards, c.Every)
	}
	conn, end, err := service(*at, usual)
	if err != nil {
		return err
	}
	defer end()
	c.Client = ripwrightv1.NewRipServiceClient(conn)
	holds, err := orders.Run(ctx, c, os.Stdout)
	if err == nil && !holds {
		return errFarOff
	}
	return err
}
