package main

import (
	"errors"
	"fmt"
	"os"
	"runtime/debug"
	"runtime/pprof"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"github.com/ripwright/ripwright/testdata/requests"
)

// beyond draws requests and measures how much processor time their answers use beyond
// their limits. The machine's time for memory is taken off.
func beyond(o options) error {
	debug.SetMemoryLimit(460 << 20) // as the guides set it in a container of 512 MiB
	all, err := requests.Known()
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
	r := requests.Random(o.seed)
	of := map[string][]figures{}
	for n := range o.n {
		d := requests.Draw(r, all)
		again := 1
		if o.only >= 0 {
			if again = 10; n != o.only {
				continue
			}
		}
		kind := "answers"
		if d.Plan {
			kind = "plans of whole orders"
		}
		for range again {
			for _, leaves := range []bool{false, true} {
				if leaves && (d.Request == nil || n%5 != 0 && o.only < 0) {
					continue
				}
				f, err := w.ask(d, leaves)
				switch status.Code(err) {
				case codes.OK:
				case codes.Canceled: // it was cancelled
				case codes.InvalidArgument, codes.DeadlineExceeded:
					continue
				default:
					return fmt.Errorf("%s, seed %d, request %d: %w", d.What, o.seed, n, err)
				}
				f.what = fmt.Sprintf("%s, request %d, limit %v", d.What, n, d.Limit)
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
	return errors.Join(used("answers", of, requests.Usual, requests.Most, o.slack), used("plans of whole orders", of, requests.Usual, requests.Most, o.slack), used("cancelled calls", of, requests.Left, requests.Left, o.slack))
}
