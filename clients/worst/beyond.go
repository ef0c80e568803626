package main

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"runtime/debug"
	"runtime/pprof"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// beyond draws the same requests as limits and measures how much processor time answers
// use beyond their limits, in this process, where other load of the machine affects only
// the shared processor caches. The machine's time for memory is taken off.
func beyond(o options) error {
	debug.SetMemoryLimit(460 << 20) // memoryLimit
	all, err := known()
	if err != nil {
		return err
	}
	w, err := newWithin()
	if err != nil {
		return err
	}
	if o.profile != "" {
		f, err := os.Create(o.profile)
		if err != nil {
			return err
		}
		defer func() { _ = f.Close() }() // only for inspection
		if err := pprof.StartCPUProfile(f); err != nil {
			return err
		}
		defer pprof.StopCPUProfile()
	}
	fmt.Printf("first use of a page of memory takes %v, which is subtracted\n", w.watch.page)
	r := rand.New(rand.NewPCG(o.seed, 5))
	of := map[string][]figures{}
	for n := range o.n {
		d := draw(r, all)
		again := 1
		if o.only >= 0 {
			if again = 10; n != o.only {
				continue
			}
		}
		kind := "answers"
		if d.plan {
			kind = "plans of whole orders"
		}
		for range again {
			for _, leaves := range []bool{false, true} {
				if leaves && (d.request == nil || n%5 != 0 && o.only < 0) {
					continue
				}
				f, err := w.ask(d, leaves)
				switch status.Code(err) {
				case codes.OK:
				case codes.Canceled: // it was cancelled
				case codes.InvalidArgument, codes.DeadlineExceeded:
					continue
				default:
					return fmt.Errorf("%s, seed %d, request %d: %w", d.what, o.seed, n, err)
				}
				f.what = fmt.Sprintf("%s, request %d, limit %v", d.what, n, d.limit)
				if leaves {
					of["cancelled calls"] = append(of["cancelled calls"], f)
				} else {
					of[kind] = append(of[kind], f)
				}
				if o.verbose || o.only >= 0 {
					fmt.Println(&f)
				}
			}
		}
	}
	return errors.Join(used("answers", of, usual, most, o.slack), used("plans of whole orders", of, usual, most, o.slack), used("cancelled calls", of, left, left, o.slack))
}
