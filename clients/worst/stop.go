package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"syscall"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/requests"
)

// hardCase is a request whose search does not end by itself.
const hardCase = "limit-not-kept-skew.json"

// The times of a stop: the service waits for others to notice, then calls have this long
// to end. A second signal takes effect within soon of processor time.
const (
	drainDelay = 300 * time.Millisecond
	drainTime  = 5 * time.Second
	soon       = 250 * time.Millisecond
)

// stop ends a service during hard searches, by one signal and by two.
func stop(o options) error {
	return errors.Join(drained(o), halted(o), twice(o))
}

func endless(s *service, ms float64) (ask func(context.Context) error, err error) {
	all, err := requests.Known()
	if err != nil {
		return nil, err
	}
	m := proto.CloneOf(all[hardCase])
	if m == nil {
		return nil, fmt.Errorf("case %s is missing", hardCase)
	}
	m.Options = &ripwrightv1.SolveOptions{TimeLimitMs: proto.Float64(ms)}
	return func(ctx context.Context) error {
		_, err := s.boards().SolveBoard(ctx, m)
		return err
	}, nil
}

// after sends hard searches and, while they run, one signal or two.
func after(searches int, ms float64, signals ...os.Signal) (answers []error, exit error, took time.Duration, err error) {
	s, err := start(false, "--drain-delay", drainDelay.String(), "--drain", drainTime.String(), "--longest-solve", "1m")
	if err != nil {
		return nil, nil, 0, err
	}
	defer s.end()
	ask, err := endless(s, ms)
	if err != nil {
		return nil, nil, 0, err
	}
	if err := ask(context.Background()); ms < 10_000 && err != nil {
		return nil, nil, 0, err
	}
	got := make(chan error, searches)
	for range searches {
		go func() { got <- ask(context.Background()) }()
	}
	time.Sleep(100 * time.Millisecond) // they run
	var last time.Time
	for i, sig := range signals {
		if i > 0 {
			time.Sleep(100 * time.Millisecond)
		}
		if last = time.Now(); s.Signal(sig) != nil {
			return nil, nil, 0, errors.New("the service ended before the signal")
		}
	}
	exit = s.Wait()
	took = time.Since(last)
	for range searches {
		answers = append(answers, <-got)
	}
	return answers, exit, took, nil
}

// drained: after one signal a running search answers within its limit, and the service
// exits with status 0.
func drained(options) error {
	answers, exit, took, err := after(2, 1500, syscall.SIGTERM)
	if err != nil {
		return err
	}
	fmt.Printf("SIGTERM during searches of 1.5 s: answers %v, exit %v, %v after the signal\n", answers, exit, took.Round(time.Millisecond))
	if errors.Join(answers...) != nil || exit != nil {
		return errors.New("a drain must answer the calls under way and end with status 0")
	}
	return nil
}

// halted: a second signal ends the service at once, even during a search.
func halted(options) error {
	answers, exit, took, err := after(2, 30_000, syscall.SIGTERM, syscall.SIGTERM)
	if err != nil {
		return err
	}
	fmt.Printf("a second SIGTERM: answers %v, exit %v, %v after it\n", codesOf(answers), exit, took.Round(time.Millisecond))
	for _, a := range answers {
		if status.Code(a) != codes.Unavailable {
			return errors.New("a second signal must abort the calls under way")
		}
	}
	if exit == nil {
		return errors.New("calls were aborted, but the exit status is 0")
	}
	if took > 10*soon { // however busy the machine
		return errors.New("a second signal must end the service at once")
	}
	return nil
}

// twice: two searches that occupy every core leave the service able to answer others, and
// end when their callers cancel.
func twice(options) error {
	s, err := start(false, "--solves", "3")
	if err != nil {
		return err
	}
	defer s.end()
	ask, err := endless(s, 1000)
	if err != nil {
		return err
	}
	got := make(chan error, 2)
	for range 2 {
		go func() { got <- ask(context.Background()) }()
	}
	time.Sleep(50 * time.Millisecond)
	began := time.Now()
	_, err = s.boards().SolveBoard(context.Background(), &ripwrightv1.SolveBoardRequest{SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "heron"},
		Board: &ripwrightv1.Board{LengthMm: 2000, Stations: []*ripwrightv1.Station{{FarMm: 200}}},
		Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "a", Value: 1, Width: &ripwrightv1.Item_WidthMm{WidthMm: 60}}}}})
	fmt.Printf("an easy board beside two hard ones: %v after %v; the hard ones: %v %v\n", err, time.Since(began).Round(time.Millisecond), <-got, <-got)
	return err
}

func codesOf(all []error) (out []codes.Code) {
	for _, err := range all {
		out = append(out, status.Code(err))
	}
	return out
}
