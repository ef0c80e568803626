package main

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/requests"
)

// The limits of requests here, in ms: long enough to grow, short enough for many of them.
const (
	boardMS = 500
	planMS  = 2500
)

// press sends one request atOnce times concurrently.
func press(c *requests.Call, atOnce int) func(context.Context, *service, *requests.Genes) (int, error) {
	return func(ctx context.Context, s *service, g *requests.Genes) (int, error) {
		limit := float64(boardMS)
		if c.Planning {
			limit = planMS
		}
		request, answer := c.Draw(g, limit)
		if proto.Size(request) > mostBody {
			return 0, status.Error(codes.InvalidArgument, "the request is too long")
		}
		return several(atOnce, func(i int) error {
			if i%2 == 1 {
				if err := s.post(ctx, c, request); !errors.Is(err, errLong) {
					return err
				}
			}
			return send(ctx, s.conn, c, request, proto.Clone(answer))
		})
	}
}

// several runs f n times concurrently. Some may be told to try again, and plans may take
// longer than a trial waits; all others must be served.
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
				code == codes.Canceled: // the form that it has on a stream whose caller no longer waits
				busy++
			default:
				err = e
			}
		})
	}
	each.Wait()
	return busy, err
}

// mixed sends one of every call, and lines, concurrently.
func mixed(ctx context.Context, s *service, g *requests.Genes) (int, error) {
	own := make([]*requests.Genes, len(requests.Calls)+1)
	for i := range own {
		own[i] = requests.Fresh(g.Stream())
	}
	return several(len(own), func(i int) error {
		once := lines(2)
		if i < len(requests.Calls) {
			once = press(&requests.Calls[i], 2)
		}
		_, err := once(ctx, s, own[i])
		if status.Code(err) == codes.InvalidArgument {
			return nil // counted where it is tried alone
		}
		return err
	})
}

// lines runs that many lines concurrently, which hold as much as lines may.
func lines(atOnce int) func(context.Context, *service, *requests.Genes) (int, error) {
	return func(ctx context.Context, s *service, g *requests.Genes) (int, error) {
		j := g.Job()
		j.Options.TimeLimitMs = proto.Float64(20)
		j.Board.Stations = j.Board.GetStations()[:min(len(j.Board.GetStations()), 400)]
		in := int32(min(64, 256/(1+int(j.Options.GetRunnersUp()))))
		set := j.SetUp()
		set.BoardsInFlight = proto.Int32(in)
		if g.Chance(0.3) {
			set.Order = g.Order(100, true)
			set.ValuePlanning = &ripwrightv1.ValuePlanning{ReplanEveryBoards: proto.Int32(1)}
			for range 20 {
				set.ValuePlanning.Expected = append(set.ValuePlanning.Expected, j.Board)
			}
		}
		orders := g.Count(0, 3)
		return several(atOnce, func(int) error { return line(ctx, s, set, j.Board, int(in), orders) })
	}
}

// line fills a line with boards that are never confirmed, and changes its order.
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
			_, err = stream.Recv() // gives the reason
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
