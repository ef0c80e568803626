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
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// container is what the process may have resident at most.
const container = 512 << 20

// trial is a way to press the service: one call, several at once, or lines.
type trial struct {
	name string
	// press sends what the genes say and waits for the answers. The error is that of
	// one that was not served; busy counts those told to come again.
	press func(ctx context.Context, s *service, g *genes) (busy int, err error)

	best          *genes
	peak          int64
	tried, failed int
}

// patience is how long one trial may take; the requests' own limits are far below.
const patience = 60 * time.Second

// memory looks for the requests that make the process largest.
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
	for i := range calls {
		trials = append(trials, &trial{name: calls[i].name, press: calls[i].press(o.atOnce)})
	}
	trials = append(trials, &trial{name: "RipService/RunLine", press: lines(o.atOnce)}, &trial{name: "all of them at once", press: mixed})
	r := rand.New(rand.NewPCG(o.seed, 3))
	most := int64(0)
	for began, n := time.Now(), 0; time.Since(began) < o.long || n < 2*len(trials); n++ {
		t := trials[n%len(trials)]
		g := fresh(r)
		if t.best != nil && r.IntN(4) > 0 {
			g = t.best.near(r)
		}
		if err := forget(s.PID()); err != nil {
			return err
		}
		ctx, cancel := context.WithTimeout(context.Background(), patience)
		busy, err := t.press(ctx, s, g)
		cancel()
		peak, gone := peakOf(s)
		if gone != nil {
			return fmt.Errorf("the process has ended, from %s with seed %d, trial %d: %w", t.name, o.seed, n, errors.Join(gone, err))
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
			return fmt.Errorf("%.1f MiB resident after %s, seed %d, trial %d; the container has %.0f", mib(most), t.name, o.seed, n, mib(container))
		}
	}
	for _, t := range trials {
		fmt.Printf("%-32s %6.1f MiB at most in %d trials, %d of them not valid\n", t.name, mib(t.peak), t.tried, t.failed)
		if 2*t.failed > t.tried {
			return fmt.Errorf("%s: most draws are not valid, so that they show nothing", t.name)
		}
	}
	fmt.Printf("%.1f MiB resident at most, of %.0f\n", mib(most), mib(container))
	return nil
}

func mib(n int64) float64 { return float64(n) / (1 << 20) }

// peakOf gives the peak since it was forgotten.
func peakOf(s *service) (int64, error) { return sizeOf(s.PID(), "VmHWM") }

// together sends the requests that were once too much, all of them several times at
// once, by both ways.
func together(s *service) error {
	all, err := known()
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
					err = s.post(ctx, &calls[0], all[name])
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
	fmt.Printf("%d known requests, each four times at once: %.1f MiB resident at most\n", len(all), mib(peak))
	if peak > container {
		return fmt.Errorf("that is more than the container's %.0f", mib(container))
	}
	return nil
}

// The limits that requests have here, in ms: long enough to grow, short enough for
// many of them.
const (
	boardMS = 500
	planMS  = 2500
)

// press sends one request so many times at once.
func (c *call) press(atOnce int) func(context.Context, *service, *genes) (int, error) {
	return func(ctx context.Context, s *service, g *genes) (int, error) {
		limit := float64(boardMS)
		if c.planning {
			limit = planMS
		}
		request, answer := c.draw(g, limit)
		if proto.Size(request) > mostBody {
			return 0, status.Error(codes.InvalidArgument, "too long")
		}
		return several(atOnce, func(i int) error {
			if i%2 == 1 {
				if err := s.post(ctx, c, request); !errors.Is(err, errLong) {
					return err
				}
			}
			return c.send(ctx, s.conn, request, proto.Clone(answer))
		})
	}
}

// several runs f so many times at once. Some may be told to come again, and plans may
// take longer than anybody waits here; all but those have to be served.
func several(n int, f func(i int) error) (busy int, err error) {
	var mu sync.Mutex
	var each sync.WaitGroup
	for i := range n {
		each.Go(func() {
			e := f(i)
			mu.Lock()
			defer mu.Unlock()
			switch code := status.Code(e); {
			case code == codes.OK:
			case code == codes.ResourceExhausted, code == codes.Unavailable, code == codes.DeadlineExceeded, errors.Is(e, context.DeadlineExceeded),
				code == codes.Canceled: // as a stream has it that nobody here waits for any more
				busy++
			default:
				err = e
			}
		})
	}
	each.Wait()
	return busy, err
}

// mixed sends one of every call, and lines, at once.
func mixed(ctx context.Context, s *service, g *genes) (int, error) {
	own := make([]*genes, len(calls)+1)
	for i := range own {
		own[i] = fresh(g.stream())
	}
	return several(len(own), func(i int) error {
		press := lines(2)
		if i < len(calls) {
			press = calls[i].press(2)
		}
		_, err := press(ctx, s, own[i])
		if status.Code(err) == codes.InvalidArgument {
			return nil // counted where it is pressed alone
		}
		return err
	})
}

// lines runs so many lines at once that hold as much as lines may.
func lines(atOnce int) func(context.Context, *service, *genes) (int, error) {
	return func(ctx context.Context, s *service, g *genes) (int, error) {
		j := g.job()
		j.options.TimeLimitMs = proto.Float64(20)
		j.board.Stations = j.board.GetStations()[:min(len(j.board.GetStations()), 400)]
		in := int32(min(64, 256/(1+int(j.options.GetRunnersUp()))))
		set := &ripwrightv1.LineSetUp{RunId: "w", Order: j.order, Options: j.options, BoardsInFlight: proto.Int32(in),
			SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: j.saw}}
		if g.chance(0.3) {
			set.Order = g.order(100, true)
			set.ValuePlanning = &ripwrightv1.ValuePlanning{ReplanEveryBoards: proto.Int32(1)}
			for range 20 {
				set.ValuePlanning.Expected = append(set.ValuePlanning.Expected, j.board)
			}
		}
		orders := g.count(0, 3)
		return several(atOnce, func(int) error { return line(ctx, s, set, j.board, int(in), orders) })
	}
}

// line fills a line with boards that nobody confirms, and changes its order.
func line(ctx context.Context, s *service, set *ripwrightv1.LineSetUp, b *ripwrightv1.Board, boards, orders int) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	stream, err := s.boards().RunLine(ctx)
	if err != nil {
		return err
	}
	n := int32(0)
	say := func(m *ripwrightv1.RunLineRequest) error {
		n++
		m.Sequence = n
		if err := stream.Send(m); err != nil {
			_, err = stream.Recv() // tells why
			return err
		}
		_, err := stream.Recv()
		return err
	}
	err = say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: set}})
	for i := 0; i < boards && err == nil; i++ {
		err = say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: b}}})
	}
	for i := 0; i < orders && err == nil; i++ {
		next := proto.CloneOf(set.GetOrder())
		next.OrderId = fmt.Sprint("next", i)
		err = say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_OrderChange{OrderChange: &ripwrightv1.OrderChange{Order: next}}})
	}
	return err
}
