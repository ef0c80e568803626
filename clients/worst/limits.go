package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/testdata/requests"
)

// late is how late one answer was: by the clock, and by the processor time that the
// service used beyond the limit, all its threads together.
type late struct {
	what       string
	wall, core time.Duration
}

// alone is the most that the service itself can have caused: the clock also runs while
// others have the processors, and several threads use more processor time than the clock
// shows.
func (l late) alone() time.Duration { return min(l.wall, l.core) }

// limits sends requests with a time limit, one after another, and cancels others.
func limits(o options) error {
	s, err := start(false, "--longest-solve", "10s")
	if err != nil {
		return err
	}
	defer s.end()
	r := requests.Random(o.seed)
	all, err := requests.Known()
	if err != nil {
		return err
	}
	var answers, control, plans, gone []late
	busy := 0
	var last *oneLine // cancelled before the next request
	defer func() {
		if last != nil {
			last.leave()
		}
	}()
	for n := 0; n < o.n; n++ {
		if last != nil {
			last.leave()
			last = nil
		}
		d := requests.Draw(r, all)
		limit, plan, what := d.Limit, d.Plan, d.What
		ask := func(ctx context.Context, ms float64) error {
			requests.SetLimit(d.Request, ms)
			return send(ctx, s.conn, d.Call, d.Request, proto.Clone(d.Answer))
		}
		var l *oneLine
		if d.Request == nil {
			l, err = open(s, d.Genes)
			if status.Code(err) == codes.InvalidArgument {
				continue
			} else if err != nil {
				return fmt.Errorf("%s: %w", what, err)
			}
			last, ask = l, l.ask
		}
		free := func() error { return nil }
		if l != nil {
			free = l.free
		}
		// The control is the same request with hardly any time: its answer takes only
		// sending, reading, preparing and writing, which the other answer includes too.
		c, err := one(s, "control", ask, 0)
		if status.Code(err) == codes.InvalidArgument {
			continue
		}
		var a late
		if err == nil {
			err = free()
		}
		if err == nil {
			a, err = one(s, fmt.Sprintf("%s, request %d, limit %v", what, n, limit), ask, limit)
		}
		if status.Code(err) == codes.ResourceExhausted { // a request cancelled a moment ago still holds its memory
			busy++
			time.Sleep(100 * time.Millisecond)
			continue
		}
		if err != nil {
			return fmt.Errorf("%s, seed %d, request %d, limit %v%s: %w", what, o.seed, n, limit, kept(d.Request), err)
		}
		if plan {
			plans = append(plans, a)
		} else {
			control, answers = append(control, c), append(answers, a)
		}
		if o.verbose {
			fmt.Printf("%4d %-40s limit %6v, late %8v, processor time %8v, control %v\n", n, what, limit,
				a.wall.Round(time.Microsecond), a.core.Round(time.Microsecond), c.core.Round(time.Microsecond))
		}
		if err := free(); err != nil {
			return fmt.Errorf("%s, request %d: %w", what, n, err)
		}
		if n%10 == 0 {
			e, err := leave(s, fmt.Sprintf("%s, request %d", what, n), ask)
			if err != nil {
				return err
			}
			gone = append(gone, e)
		}
	}
	if busy*20 > o.n {
		return fmt.Errorf("%d of %d requests were refused", busy, o.n)
	}
	return errors.Join(
		tell("answers with a limit near 0 (control)", control, 0, 0, 1),
		tell("answers beyond their limit", answers, requests.Usual, requests.Most, o.slack),
		tell("plans of whole orders beyond their limit", plans, requests.Usual, requests.Most, o.slack),
		tell("calls after their caller cancelled", gone, requests.Left, requests.Left, o.slack),
	)
}

// kept writes a request to a file, for inspection, and gives its name.
func kept(m proto.Message) string {
	if m == nil {
		return ""
	}
	f, err := os.CreateTemp("", "worst-*.json")
	if err != nil {
		return ""
	}
	defer func() { _ = f.Close() }() // only for inspection
	text, _ := protojson.MarshalOptions{UseProtoNames: true}.Marshal(m)
	_, _ = f.Write(text)
	return ", in " + f.Name()
}

// one sends a request with a limit. How late its answer is counts from the limit's end
// after the request was written, as the service counts from having the whole request.
func one(s *service, what string, ask func(context.Context, float64) error, limit time.Duration) (late, error) {
	over := make(chan time.Duration, 1)
	began := time.Now()
	end := time.AfterFunc(limit, func() { over <- spent(s.PID()) })
	err := ask(context.Background(), max(float64(limit)/float64(time.Millisecond), 0.001))
	ended := time.Now()
	if at := s.sent.at.Load(); at != nil && at.After(began) {
		began = *at
	}
	wall := ended.Sub(began) - limit
	if end.Stop() {
		return late{what, wall, 0}, err // it came in time
	}
	return late{what, wall, spent(s.PID()) - <-over}, err
}

// tell prints how late answers were and reports whether that is too late.
func tell(what string, all []late, usual, most time.Duration, slack float64) error {
	if len(all) == 0 {
		return fmt.Errorf("no %s were measured", what)
	}
	line := func(name string, get func(late) time.Duration) (at999, worst late) {
		slices.SortFunc(all, func(a, b late) int { return int(get(a) - get(b)) })
		at999, worst = all[min(int(requests.Part*float64(len(all))), len(all)-1)], all[len(all)-1]
		fmt.Printf("%s, %s: median %v, %gth percentile %v, longest %v (%s)\n", what, name, get(all[len(all)/2]).Round(time.Microsecond), 100*requests.Part,
			get(at999).Round(time.Microsecond), get(worst).Round(time.Microsecond), worst.what)
		return at999, worst
	}
	line("by the clock", func(l late) time.Duration { return l.wall })
	line("by processor time", func(l late) time.Duration { return l.core })
	at, worst := line("the lesser of both", late.alone)
	if most == 0 {
		return nil
	}
	return requests.Promised(what, len(all), at.alone(), worst.alone(), usual, most, slack)
}
