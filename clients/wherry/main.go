// Command wherry carries boards from a PLC to the service, and plans back, by a mapping
// of the PLC's words. It keeps the line's books.
//
//	wherry check mapping.yaml
//	wherry watch mapping.yaml
//	wherry run mapping.yaml
//
// What it writes is advice: nothing of it starts, holds or releases a movement. Guards,
// interlocks, emergency stop and the last check of every position are the machine's.
package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"github.com/spf13/cobra"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/line"
	"github.com/ripwright/ripwright/clients/wherry/internal/mapping"
	"github.com/ripwright/ripwright/clients/wherry/internal/mqtt"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const caution = "What is written to the PLC is advice. Guards, interlocks, emergency stop and the last\ncheck of every position are the machine's: nothing here may start, hold or release a\nmovement. Work on the saw by its maker's instructions, local codes and licensed practice."

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := command().ExecuteContext(ctx); err != nil {
		fmt.Fprintln(os.Stderr, "wherry:", err)
		os.Exit(1)
	}
}

func command() *cobra.Command {
	unsecured := false
	root := &cobra.Command{Use: "wherry", Short: "Carry boards from a PLC to the service and plans back", Long: caution,
		SilenceUsage: true, SilenceErrors: true, CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true}}
	root.PersistentFlags().BoolVar(&unsecured, "without-security", false, "allow a connection to the PLC that is neither signed nor encrypted")
	for _, c := range []*cobra.Command{
		{Use: "check mapping.yaml", Short: "Compare a mapping with the PLC, and write nothing to it", RunE: func(c *cobra.Command, args []string) error {
			return check(c, args[0], unsecured)
		}},
		{Use: "watch mapping.yaml", Short: "Plan boards, and write nothing to the PLC", RunE: func(c *cobra.Command, args []string) error {
			return serve(c, args[0], unsecured, true)
		}},
		{Use: "run mapping.yaml", Short: "Serve the line", RunE: func(c *cobra.Command, args []string) error {
			return serve(c, args[0], unsecured, false)
		}},
	} {
		c.Args = cobra.ExactArgs(1)
		root.AddCommand(c)
	}
	return root
}

// check prints mismatches between a mapping and its PLC.
func check(c *cobra.Command, name string, unsecured bool) error {
	m, err := mapping.Read(name)
	if err != nil {
		return err
	}
	if _, err := setUp(m); err != nil {
		return err
	}
	p, err := m.Dial(c.Context(), unsecured)
	if err != nil {
		return err
	}
	defer func() { _ = p.Close() }()
	l, err := p.(plc.Checker).Check(c.Context())
	if err != nil {
		return err
	}
	out := c.OutOrStdout()
	for _, f := range l {
		fmt.Fprintf(out, "%s: %s %s\n", f.Word, m.Words[f.Word], f.Says)
	}
	if len(l) > 0 {
		return fmt.Errorf("words that do not fit the PLC: %d", len(l))
	}
	fmt.Fprintln(out, "the mapping fits the PLC")
	return nil
}

// serve runs a line. Silent, it writes nothing to the PLC and keeps no books.
func serve(c *cobra.Command, name string, unsecured, silent bool) error {
	m, err := mapping.Read(name)
	if err != nil {
		return err
	}
	set, err := setUp(m)
	if err != nil {
		return err
	}
	stream, hangUp, err := replicas(&m.Service)
	if err != nil {
		return err
	}
	defer hangUp()
	log, err := zap.NewProduction()
	if err != nil {
		return err
	}
	dir := m.Books
	if silent {
		if dir, err = os.MkdirTemp("", "wherry-watch-"); err != nil {
			return err
		}
		defer func() { _ = os.RemoveAll(dir) }()
		m.Run += " watched"
		set.RunId = m.Run
	}
	b, err := books.Open(dir, m.Run)
	if err != nil {
		return err
	}
	defer func() { _ = b.Close() }()
	registry := prometheus.NewRegistry()
	registry.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	if m.Metrics != "" {
		end, at, err := page(m.Metrics, registry)
		if err != nil {
			return fmt.Errorf("metrics: %w", err)
		}
		defer end()
		log.Info("metrics", zap.String("address", at))
	}
	cfg := line.Config{Dial: func(ctx context.Context) (plc.PLC, error) { return m.Dial(ctx, unsecured) }, Stream: stream, Books: b, SetUp: set, Slots: m.PLC.Slots,
		Poll: mapping.Ms(m.PLC.PollMs), Beat: mapping.Ms(m.PLC.BeatMs), Dead: mapping.Ms(m.PLC.DeadAfterMs), Within: mapping.Ms(m.Service.AnswerWithinMs),
		Silent: silent, Log: log, Registry: registry, Tell: told(c, log, silent)}
	if m.MQTT != nil && !silent {
		end, err := publish(c.Context(), m, &cfg)
		if err != nil {
			return err
		}
		defer end()
	}
	log.Info("serving", zap.String("run", m.Run), zap.Bool("writes", !silent))
	return line.Run(c.Context(), cfg)
}

// publish publishes the events of a line by MQTT, until end is called.
func publish(ctx context.Context, m *mapping.Mapping, cfg *line.Config) (end func(), err error) {
	c, err := m.Publishing()
	if err != nil {
		return nil, err
	}
	c.Log, c.Registry = cfg.Log, cfg.Registry
	p, err := mqtt.Open(c)
	if err != nil {
		return nil, fmt.Errorf("mqtt: %w", err)
	}
	tell := cfg.Tell
	cfg.Tell = func(of handover.Board, a *ripwrightv1.RunLineResponse) {
		tell(of, a)
		p.Tell(of, a)
	}
	cfg.Stands, cfg.SumUp = p.Stands, m.YieldEvery()
	ctx, cancel := context.WithCancel(context.WithoutCancel(ctx)) // it ends after the line
	done := make(chan struct{})
	go func() {
		defer close(done)
		if err := p.Run(ctx); err != nil {
			cfg.Log.Error("nothing is published by MQTT", zap.Error(err))
		}
	}()
	return func() {
		cancel()
		<-done
	}, nil
}

// told prints plans if nothing is written to the PLC, and logs them otherwise.
func told(c *cobra.Command, log *zap.Logger, silent bool) func(handover.Board, *ripwrightv1.RunLineResponse) {
	return func(of handover.Board, a *ripwrightv1.RunLineResponse) {
		switch p := a.GetPlan(); {
		case p == nil:
		case silent:
			fmt.Fprintf(c.OutOrStdout(), "board %d, %s: fence %g mm, blades %v mm, worth %.2f\n", of.Number, p.GetBoardId(),
				p.GetPlan().GetSetting().GetFenceMm(), p.GetPlan().GetSetting().GetBladesMm(), p.GetPlan().GetWorth())
		default:
			log.Info("planned", zap.Uint32("boot", of.Boot), zap.Uint32("number", of.Number), zap.String("board", p.GetBoardId()),
				zap.Int32("sequence", a.GetSequence()), zap.String("lengths", lengths(p.GetPlan())))
		}
	}
}

// lengths says what a plan makes, in metres by item.
func lengths(p *ripwrightv1.Plan) string {
	var l []string
	for _, k := range p.GetPockets() {
		if k.GetItemId() != "" {
			l = append(l, fmt.Sprintf("%s=%v", k.GetItemId(), k.GetCountedLengthM()))
		}
	}
	return strings.Join(l, " ")
}

// page serves metrics and health.
func page(at string, registry *prometheus.Registry) (end func(), address string, err error) {
	l, err := net.Listen("tcp", at)
	if err != nil {
		return nil, "", err
	}
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(registry, promhttp.HandlerOpts{}))
	mux.HandleFunc("GET /alive", func(w http.ResponseWriter, _ *http.Request) { fmt.Fprintln(w, "alive") })
	s := &http.Server{Handler: mux, ReadHeaderTimeout: 5 * time.Second}
	go func() {
		if err := s.Serve(l); !errors.Is(err, http.ErrServerClosed) {
			fmt.Fprintln(os.Stderr, "wherry:", err)
		}
	}()
	return func() { _ = s.Close() }, l.Addr().String(), nil
}
