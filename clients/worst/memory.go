package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"sync"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/testdata/requests"
)

// container is the most resident memory that the process may have.
const container = 512 << 20

// trial is a way to load the service: one call, several at once, or lines.
type trial struct {
	name string
	// press sends what the genes define and waits for the answers. The error is that of a
	// request that was not served; busy counts those told to try again.
	press func(ctx context.Context, s *service, g *requests.Genes) (busy int, err error)

	best          *requests.Genes
	peak          int64
	tried, failed int
}

// patience is the time limit of one trial; the requests' own limits are far below.
const patience = 60 * time.Second

// memory searches for the requests that make the process largest.
func memory(o options) error {
	s, err := start(true)
	if err != nil {
		return err
	}
	defer s.end()
	if err := together(s); err != nil {
		return err
	}
	var trials []*trial
	for i := range requests.Calls {
		trials = append(trials, &trial{name: requests.Calls[i].Name, press: press(&requests.Calls[i], o.atOnce)})
	}
	trials = append(trials, &trial{name: "RipService/RunLine", press: lines(o.atOnce)}, &trial{name: "all calls at once", press: mixed})
	r := rand.New(rand.NewPCG(o.seed, 3))
	most := int64(0)
	for began, n := time.Now(), 0; time.Since(began) < o.long || n < 2*len(trials); n++ {
		t := trials[n%len(trials)]
		g := requests.Fresh(r)
		if t.best != nil && r.IntN(4) > 0 {
			g = t.best.Near(r)
		}
		if err := forget(s.PID()); err != nil {
			return err
		}
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		busy, err := t.press(ctx, s, g)
		cancel()
		peak, gone := peakOf(s)
		if gone != nil {
			return fmt.Errorf("the process ended during %s, seed %d, trial %d: %w", t.name, o.seed, n, errors.Join(gone, err))
		}
		if t.tried++; err != nil {
			code := status.Code(err)
			if code != codes.InvalidArgument {
				return fmt.Errorf("%s, seed %d, trial %d: %w", t.name, o.seed, n, err)
			}
			t.failed++
		}
		if o.verbose {
			fmt.Printf("%4d %-32s %6.1f MiB, %d busy, %v\n", n, t.name, mib(peak), busy, err)
		}
		if err == nil && peak >= t.peak {
			t.best, t.peak = g, peak
		}
		if most = max(most, peak); most > container {
			return fmt.Errorf("%.1f MiB resident after %s, seed %d, trial %d; the container has %.0f MiB", mib(most), t.name, o.seed, n, mib(container))
		}
	}
	for _, t := range trials {
		fmt.Printf("%-32s peak %6.1f MiB in %d trials, %d of them invalid\n", t.name, mib(t.peak), t.tried, t.failed)
		if 2*t.failed > t.tried {
			return fmt.Errorf("%s: most of the requests are invalid, so they show nothing", t.name)
		}
	}
	fmt.Printf("peak %.1f MiB resident of %.0f MiB\n", mib(most), mib(container))
	return nil
}

func mib(n int64) float64 { return float64(n) / (1 << 20) }

// peakOf gives the peak since the last reset.
func peakOf(s *service) (int64, error) { return sizeOf(s.PID(), "VmHWM") }

// together sends the requests that once exceeded a limit, all of them several times at
// once, over both protocols.
func together(s *service) error {
	all, err := requests.Known()
	if err != nil {
		return err
	}
	var failed error
	var mu sync.Mutex
	var each sync.WaitGroup
	for _, name := range slices.Sorted(maps.Keys(all)) {
		for i := range 4 {
			each.Go(func() {
				ctx, cancel := context.WithTimeout(context.Background(), patience)
				defer cancel()
				_, err := s.boards().SolveBoard(ctx, all[name])
				if i%2 == 1 {
					err = s.post(ctx, &requests.Calls[0], all[name])
				}
				if err != nil {
					mu.Lock()
					defer mu.Unlock()
					failed = errors.Join(failed, fmt.Errorf("%s: %w", name, err))
				}
			})
		}
	}
	each.Wait()
	peak, gone := peakOf(s)
	if failed != nil || gone != nil {
		return errors.Join(failed, gone)
	}
	fmt.Printf("%d known requests, each four times at once: peak %.1f MiB resident\n", len(all), mib(peak))
	if peak > container {
		return fmt.Errorf("that exceeds the container's %.0f MiB", mib(container))
	}
	return nil
}
