// Package faults runs several replicas as processes, with lines and callers that balance
// over them, and lets the replicas and the network fail in every way known in a plant:
// killed, hanging, restarted, cut off, stalled, flooded.
package faults

import (
	"context"
	"fmt"
	"os"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/linesim/sim"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The number of seeds by RIPWRIGHT_FAULTS; none without it.
func seeds(t *testing.T) (int, string) {
	t.Helper()
	n, _ := strconv.Atoi(os.Getenv("RIPWRIGHT_FAULTS"))
	if n == 0 {
		t.Skip("RIPWRIGHT_FAULTS is not set")
	}
	program, err := replicas.Build(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return n, program
}

// within is the time for a board's answer, whatever fails, while one replica lives. A
// line gives up a stream, and a caller a try, after silence, and later if that did not
// help. Both allow for a busy machine; the slowest answer is logged.
const (
	within  = 10 * time.Second
	silence = 250 * time.Millisecond
)

// No board is left unanswered, no fill is lost or counted twice, every replica gives the
// same plans, and no error occurs but those documented.
func TestFaults(t *testing.T) {
	n, program := seeds(t)
	hit := map[string]int{}
	var slowest time.Duration
	var boards, streams, tries, asked int
	for seed := range uint64(n) {
		p := open(t, program, 3, small...)
		done, quiet := make(chan struct{}), make(chan struct{})
		go func() {
			p.spoil(seed, done)
			close(quiet)
		}()
		reports, askers := runLines(t, p, seed, 80, silence), runAskers(t, p, seed)
		for r := range reports {
			boards += int(r.Summary.GetPlanned() + r.Summary.GetRefused())
			streams += r.Streams
			slowest = max(slowest, r.Slowest)
		}
		for a := range askers {
			tries += a.tries
			asked += a.asked
			slowest = max(slowest, a.slowest)
		}
		close(done)
		<-quiet
		for kind, times := range p.hit {
			hit[kind] += times
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	t.Logf("%d seeds, faults %v", n, hit)
	t.Logf("%d boards of lines over %d streams, %d boards asked for by %d calls; the slowest answer took %v", boards, streams, asked, tries, slowest)
	for _, k := range kinds {
		if n >= 10 && hit[k.name] == 0 {
			t.Errorf("the fault %q did not occur in %d seeds", k.name, n)
		}
	}
}

// runLines gives the reports of lines that ran to their end.
func runLines(t *testing.T, p *plant, seed uint64, boards int, silence time.Duration) <-chan *sim.Report {
	const lines = 2
	reports := make(chan *sim.Report, lines)
	var running sync.WaitGroup
	for i := range uint64(lines) {
		client := ripwrightv1.NewRipServiceClient(dial(t, p.addresses()...))
		running.Go(func() {
			r, err := sim.Run(t.Context(), sim.Config{Seed: seed*lines + i, Boards: boards, SetUp: sim.SetUp(fmt.Sprintf("faults %d %d", seed, i)),
				Every: 25 * time.Millisecond, Within: within, Patience: time.Minute, Silence: silence, Insist: true,
				Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) { return client, func() {}, nil },
				Ended: func(err error) {
					if _, wrong := documented(err); wrong != nil {
						t.Errorf("a line's stream ended with %v", err)
					}
				}})
			if err != nil {
				t.Errorf("line %d: %v", i, err)
				return
			}
			for _, w := range r.Wrong {
				t.Error(w)
			}
			if r.Late > 0 || r.Missed > 0 {
				t.Errorf("line %d: %d answers late, %d missed; the slowest took %v", i, r.Late, r.Missed, r.Slowest)
			}
			if n := int(r.Summary.GetPlanned()+r.Summary.GetRefused()) - r.Insisted; n != boards {
				t.Errorf("line %d: %d of %d boards answered", i, n, boards)
			}
			reports <- r
		})
	}
	go func() {
		running.Wait()
		close(reports)
	}()
	return reports
}

// asking is what one caller saw.
type asking struct {
	asked, tries int
	slowest      time.Duration
}

func runAskers(t *testing.T, p *plant, seed uint64) <-chan asking {
	const callers, boards = 2, 80
	all := make(chan asking, callers)
	var running sync.WaitGroup
	known := &sync.Map{}
	for range callers {
		a := &asker{client: ripwrightv1.NewRipServiceClient(dial(t, p.addresses()...)), within: within, each: silence, setUp: sim.SetUp("asked"), known: known}
		running.Go(func() {
			var saw asking
			for n := range boards {
				tries, took, err := a.board(seed, n)
				if err != nil {
					t.Error(err)
					return
				}
				saw.asked++
				saw.tries += tries
				saw.slowest = max(saw.slowest, took)
				time.Sleep(25 * time.Millisecond)
			}
			all <- saw
		})
	}
	go func() {
		running.Wait()
		close(all)
	}()
	return all
}

// If replicas are restarted one after another under load, callers that never retry lose
// no call, and every replica exits with 0.
func TestRoll(t *testing.T) {
	n, program := seeds(t)
	p := open(t, program, 3, "--drain-delay", "500ms", "--drain", "20s")
	stop, calls := make(chan struct{}), atomic.Int64{}
	var callers sync.WaitGroup
	for i := range uint64(4) {
		a := &asker{client: ripwrightv1.NewRipServiceClient(dial(t, p.addresses()...)), within: 0, each: time.Minute, setUp: sim.SetUp("rolled"), known: &sync.Map{}}
		callers.Go(func() {
			for n := 0; ; n = (n + 1) % 40 {
				select {
				case <-stop:
					return
				default:
				}
				if tries, _, err := a.board(i, n); err != nil || tries != 1 {
					t.Errorf("a call was lost: %v", err)
					return
				}
				calls.Add(1)
			}
		})
	}
	reports := runLines(t, p, 1<<20, 400, 0)
	for range min(n, 2) {
		for _, s := range p.sites {
			if err := s.replica.Drain(); err != nil {
				t.Errorf("draining a replica under load: %v", err)
			}
			p.start(s)
			time.Sleep(2 * settle) // until callers have found it
		}
	}
	for range reports {
	}
	close(stop)
	callers.Wait()
	t.Logf("%d calls, none lost", calls.Load())
}
