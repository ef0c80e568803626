// Command server is the Ripwright service: board profiles and cut orders in,
// proven rip plans out, over gRPC and JSON.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"go.opentelemetry.io/otel"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/proto/codec"
	"github.com/ripwright/ripwright/proto/release"
	"github.com/ripwright/ripwright/proto/site"
	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/config"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/record"
	"github.com/ripwright/ripwright/server/secure"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/traces"
	"github.com/ripwright/ripwright/server/workers"
)

// Exit statuses; --help explains them.
const (
	exitOK    = 0
	exitWrong = 1
	exitUsage = 2
)

func main() {
	os.Exit(run(os.Args[1:], os.Environ(), os.Stdout, os.Stderr))
}

func run(args, environ []string, out, complain io.Writer) int {
	memory.Keep()
	codec.Register()
	call, err := config.ParseArgs(args)
	if err != nil {
		fmt.Fprintf(complain, "%v\nsee --help\n", err)
		return exitUsage
	}
	switch cfg, err := call.Load(environ); {
	case call.Help:
		err = config.Help(out)
		return ended(err, complain)
	case call.Version:
		_, err = fmt.Fprintf(out, "ripwright %s\n", release.Of())
		return ended(err, complain)
	case call.Check:
		return ended(check(cfg, err, out), complain)
	case err != nil:
		return ended(err, complain)
	case call.Probe:
		return ended(probe(&cfg.Config), complain)
	case call.Print:
		return ended(cfg.Print(out), complain)
	default:
		return ended(serve(cfg), complain)
	}
}

func ended(err error, complain io.Writer) int {
	if err != nil {
		fmt.Fprintln(complain, err)
		return exitWrong
	}
	return exitOK
}

// check also checks the files that the configuration names. wrong is what is wrong with
// the configuration itself.
func check(cfg *config.Loaded, wrong error, out io.Writer) error {
	saws, err := fleet.Check(cfg.Saws)
	_, _, secret := credentials(&cfg.Config)
	spans, variables := traces.Open(context.Background(), os.Getenv)
	_ = spans.Close() // there are none
	if err = errors.Join(wrong, err, secret, variables); err != nil {
		return err
	}
	fmt.Fprintf(out, "the configuration is valid; saws: %q\n", saws.Names())
	return nil
}

func serve(loaded *config.Loaded) error {
	cfg := &loaded.Config
	settings, err := json.Marshal(loaded.InForce())
	if err != nil {
		return err
	}
	log, err := logger(cfg)
	if err != nil {
		return err
	}
	defer func() { _ = log.Sync() }() // standard error cannot always be synced
	// Before anything listens: no signal may meet the default action, which even for
	// SIGHUP is to end at once.
	signals := make(chan os.Signal, 8)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(signals)
	keys, tokens, err := credentials(cfg)
	if err != nil {
		return err
	}
	if cfg.Open() {
		log.Warn("this service listens beyond this machine without encryption, as plaintext allows")
	}
	otel.SetErrorHandler(otel.ErrorHandlerFunc(func(err error) { log.Warn("traces could not be sent", zap.Error(err)) }))
	spans, err := traces.Open(context.Background(), os.Getenv)
	if err != nil {
		return err
	}
	defer func() {
		if err := spans.Close(); err != nil {
			log.Warn("the last traces could not be sent", zap.Error(err))
		}
	}()
	workers.Room(cfg.PlanWorkers)
	a, err := app.New(app.Config{
		Traces: spans,
		Keys:   keys, Tokens: tokens,
		SearchMemory: memory.Each(int64(cfg.SearchMemory), cfg.Searches()), Room: memory.NewRoom(memory.Held()),
		GRPC: cfg.GRPC, HTTP: cfg.HTTP, MaxBody: cfg.MaxBody, Health: cfg.Health, HealthMetrics: cfg.HealthMetrics, HealthProfiles: cfg.HealthProfiles,
		Service:  service.Config{Solves: cfg.Solves, Waiting: cfg.Waiting, Each: cfg.CallerWaiting, Longest: cfg.Longest},
		Limits:   limit.Config{Calls: cfg.Calls, CallerCalls: cfg.CallerCalls, Connections: cfg.Connections, CallerConnections: cfg.CallerConnections},
		Age:      cfg.Age,
		Page:     cfg.Page,
		Settings: settings,
		Hosts:    site.Split(cfg.Hosts),
		Workers:  workers.Config{Workers: cfg.PlanWorkers, Waiting: cfg.PlanWaiting, GiveWay: true}, LongestPlan: cfg.LongestPlan, Currency: cfg.Currency,
		Against:     cfg.Thresholds(),
		Saws:        cfg.Saws,
		Poll:        cfg.Poll,
		Record:      record.File{Path: cfg.Record, Size: int64(cfg.RecordSize), Age: cfg.RecordAge, Keep: cfg.RecordKeep},
		RecordOneIn: cfg.RecordOneIn,
		DrainDelay:  cfg.DrainDelay, Drain: cfg.Drain,
	}, log)
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go heed(signals, a, stop, log)
	return a.Run(ctx)
}

// credentials reads what authenticates callers; nil if it is not set.
func credentials(cfg *config.Config) (keys *secure.Keys, tokens *secure.Tokens, err error) {
	if cfg.Cert != "" && cfg.Key != "" {
		if keys, err = secure.LoadKeys(cfg.Cert, cfg.Key, cfg.Clients); err != nil {
			return nil, nil, err
		}
	}
	if cfg.Tokens != "" {
		if tokens, err = secure.LoadTokens(cfg.Tokens); err != nil {
			return nil, nil, err
		}
	}
	return keys, tokens, nil
}

// heed handles signals for as long as the process lives.
func heed(signals <-chan os.Signal, a *app.App, stop context.CancelFunc, log *zap.Logger) {
	stopping := false
	for s := range signals {
		switch {
		case s == syscall.SIGHUP:
			go a.Reload() // must not delay the next signal
		case !stopping:
			stopping = true
			log.Info("stopping; a second signal stops at once", zap.Stringer("signal", s))
			stop()
		default:
			log.Warn("stopping at once", zap.Stringer("signal", s))
			a.Halt()
		}
	}
}
