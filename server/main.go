// Command server is the Ripwright service: board profiles and cut orders in,
// proven rip plans out, over gRPC and JSON.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"runtime"
	"syscall"
	"time"

	"go.uber.org/zap"

	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/service"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "server:", err)
		os.Exit(1)
	}
}

func run() error {
	cfg := app.Config{Service: service.Config{Solves: runtime.GOMAXPROCS(0)}}
	flag.StringVar(&cfg.GRPC, "grpc", "127.0.0.1:7420", "address for gRPC callers; loopback unless you say otherwise")
	flag.StringVar(&cfg.HTTP, "http", "127.0.0.1:7421", "address for JSON callers, metrics and health")
	flag.IntVar(&cfg.Service.Solves, "solves", cfg.Service.Solves, "boards solved at once")
	flag.IntVar(&cfg.Service.Waiting, "waiting", 256, "boards that may wait for their turn; more are turned away")
	flag.DurationVar(&cfg.Service.Longest, "longest-solve", 2*time.Second, "longest search, whatever the caller asks for")
	flag.DurationVar(&cfg.Drain, "drain", 10*time.Second, "how long calls under way may take once the server stops")
	flag.Parse()
	if flag.NArg() > 0 {
		return fmt.Errorf("unexpected argument %q; see --help", flag.Arg(0))
	}
	if cfg.Service.Solves < 1 || cfg.Service.Waiting < 0 || cfg.Service.Longest <= 0 || cfg.Drain <= 0 {
		return fmt.Errorf("--solves must be at least 1, --waiting at least 0, --longest-solve and --drain above 0")
	}
	log, err := zap.NewProduction()
	if err != nil {
		return err
	}
	defer func() { _ = log.Sync() }() // standard error cannot always be synced
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	a, err := app.New(cfg, log)
	if err != nil {
		return err
	}
	return a.Run(ctx)
}
