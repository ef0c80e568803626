// Command load puts the service under load and measures it: it starts replicas on
// loopback, calls them from several callers and over several live lines that balance over
// them, and reports the cost in processor time, which does not depend on other load of
// the machine. With --sample it also watches memory and goroutines, and exits with 1 if
// they grow.
package main

import (
	"context"
	"fmt"
	"os"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

type options struct {
	replicas, callers, lines, quotes int
	long, sample, pause              time.Duration
	runnersUp                        int32
	server                           []string
}

func main() {
	var o options
	pflag.IntVar(&o.replicas, "replicas", 1, "how many replicas to start")
	pflag.IntVar(&o.callers, "callers", 4, "how many callers ask for boards, each for one after another")
	pflag.IntVar(&o.lines, "lines", 0, "how many live lines run beside them")
	pflag.IntVar(&o.quotes, "quotes", 0, "how many callers ask for quotes beside them")
	pflag.DurationVar(&o.long, "for", 10*time.Second, "how long to run")
	pflag.Int32Var(&o.runnersUp, "runners-up", 0, "how many runners-up callers and lines ask for")
	pflag.DurationVar(&o.pause, "pause", 0, "how long a caller waits between boards")
	pflag.DurationVar(&o.sample, "sample", 0, "how often to look at memory and goroutines; 0: only at the end")
	pflag.StringArrayVar(&o.server, "server", nil, "an argument for the service; may be given more than once")
	pflag.Parse()
	if err := run(o); err != nil {
		fmt.Fprintln(os.Stderr, "load:", err)
		os.Exit(1)
	}
}

func run(o options) error {
	dir, err := os.MkdirTemp("", "load")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	program, err := replicas.Build(dir)
	if err != nil {
		return err
	}
	var all []*replicas.Replica
	defer func() {
		for _, r := range all {
			r.Kill()
		}
	}()
	for range o.replicas {
		r, err := replicas.Launch(program, o.server...)
		if err != nil {
			return err
		}
		all = append(all, r)
	}
	before, err := look(all)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(context.Background(), o.long)
	defer cancel()
	var w work
	var callers sync.WaitGroup
	if err := w.begin(ctx, &callers, o, all); err != nil {
		return err
	}
	began := time.Now()
	samples := watch(ctx, o.sample, all)
	callers.Wait()
	took := time.Since(began)
	after, err := look(all)
	if err != nil {
		return err
	}
	w.report(took, after.cpu-before.cpu)
	fmt.Printf("memory: %.1f MB resident in all replicas, %.0f goroutines\n", after.resident/1e6, after.goroutines)
	if w.first != nil {
		return w.first
	}
	return flat(samples)
}
