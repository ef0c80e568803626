// Command ripctl calls a Ripwright service from the command line: it rips boards from
// files, checks and draws settings, and shows the results in people's units or as JSON
// and CSV.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"github.com/ripwright/ripwright/clients/ripctl/command"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	status := command.Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(status)
}
