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

var errNotTogether = errors.New("a shared order exceeds --within or --apart, or an item overran by more than a strip per line")

// runLines is `linesim lines`: orders that three lines share, one of them killed.
func runLines(ctx context.Context, args []string) error {
	f := pflag.NewFlagSet("linesim lines", pflag.ExitOnError)
	at := f.String("grpc", "", "the service, HOST:PORT; empty: build and start one")
	var c orders.Lines
	f.IntVar(&c.Orders, "seeds", 2, "number of orders; their seeds count from 0")
	f.IntVar(&c.Boards, "boards", 600, "boards that an order takes, approximately")
	f.Int32Var(&c.Every, "share-every", 25, "share the order again after this many boards of all lines")
	f.Float64Var(&c.Within, "within", 2, "how far an order may exceed the hindsight bound, in per cent")
	f.Float64Var(&c.Apart, "apart", 5, "how many boards apart the lines may end")
	if err := f.Parse(args); err != nil {
		return err
	}
	if c.Orders < 1 || c.Boards < 1 || c.Every < 1 {
		return fmt.Errorf("--seeds, --boards and --share-every are %d, %d and %d; each must be at least 1", c.Orders, c.Boards, c.Every)
	}
	conn, end, err := service(*at, usual)
	if err != nil {
		return err
	}
	defer end()
	c.Client, c.Plans = ripwrightv1.NewRipServiceClient(conn), ripwrightv1.NewPlanningServiceClient(conn)
	holds, err := orders.RunLines(ctx, c, os.Stdout)
	if err == nil && !holds {
		return errNotTogether
	}
	return err
}
