package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// seen is the sum of the replicas' metrics.
type seen struct{ cpu, resident, heap, goroutines float64 }

func look(all []*replicas.Replica) (s seen, err error) {
	for _, r := range all {
		if err := s.add(r); err != nil {
			return s, err
		}
	}
	return s, nil
}

func (s *seen) add(r *replicas.Replica) error {
	answer, err := http.Get("http://" + r.HTTP + "/metrics")
	if err != nil {
		return err
	}
	defer func() { _ = answer.Body.Close() }()
	to := map[string]*float64{"process_cpu_seconds_total": &s.cpu, "process_resident_memory_bytes": &s.resident,
		"go_memstats_heap_inuse_bytes": &s.heap, "go_goroutines": &s.goroutines}
	lines := bufio.NewScanner(answer.Body)
	for lines.Scan() {
		name, value, _ := strings.Cut(lines.Text(), " ")
		if at := to[name]; at != nil {
			v, err := strconv.ParseFloat(value, 64)
			if err != nil {
				return err
			}
			*at += v
		}
	}
	_, err = io.Copy(io.Discard, answer.Body)
	return err
}

// watch samples at intervals until ctx is done, and reports what it sees.
func watch(ctx context.Context, every time.Duration, all []*replicas.Replica) (samples []seen) {
	if every == 0 {
		return nil
	}
	tick := time.NewTicker(every)
	defer tick.Stop()
	began := time.Now()
	for {
		select {
		case <-ctx.Done():
			return samples
		case <-tick.C:
		}
		s, err := look(all)
		if err != nil {
			fmt.Fprintln(os.Stderr, "load:", err) // the callers will fail as well
			continue
		}
		samples = append(samples, s)
		fmt.Printf("%8v  %6.1f MB resident  %6.1f MB heap  %5.0f goroutines  %7.1f s of processor time\n",
			time.Since(began).Round(time.Second), s.resident/1e6, s.heap/1e6, s.goroutines, s.cpu)
	}
}

// mostGrowth is how far, as a ratio, the last quarter of the samples may lie above the
// second one; the first one is for growth.
const mostGrowth = 1.1

// flat reports an error if memory or goroutines grew.
func flat(samples []seen) error {
	quarter := len(samples) / 4
	if quarter == 0 {
		return nil
	}
	middle := func(of []seen, get func(seen) float64) float64 {
		var all []float64
		for _, s := range of {
			all = append(all, get(s))
		}
		slices.Sort(all)
		return all[len(all)/2]
	}
	for name, get := range map[string]func(seen) float64{
		"resident memory": func(s seen) float64 { return s.resident },
		"goroutines":      func(s seen) float64 { return s.goroutines },
	} {
		early, late := middle(samples[quarter:2*quarter], get), middle(samples[len(samples)-quarter:], get)
		if late > mostGrowth*early {
			return fmt.Errorf("%s grew from %.0f to %.0f", name, early, late)
		}
		fmt.Printf("%s: %.0f in the second quarter, %.0f in the last\n", name, early, late)
	}
	return nil
}
