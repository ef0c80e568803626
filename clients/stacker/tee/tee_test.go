package tee_test

import (
	"context"
	"fmt"
	"net"
	"regexp"
	"sync"
	"testing"
	"time"

	"go.uber.org/goleak"
	"go.uber.org/zap"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/clients/stacker/outfeed"
	"github.com/ripwright/ripwright/clients/stacker/tee"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/app"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/testdata/brief"
)

// watcher keeps the book of an outfeed and the last thing that it showed of every board.
type watcher struct {
	mu    sync.Mutex
	book  *outfeed.Book
	shown map[string]outfeed.View
	lines int
}

func (w *watcher) do(change func()) {
	w.mu.Lock()
	defer w.mu.Unlock()
	change()
	if v := w.book.View(); v.BoardID != "" {
		w.shown[v.BoardID] = v
	}
}

func (w *watcher) Opened()                                 { w.do(func() { w.book.Opened(); w.lines++ }) }
func (w *watcher) Closed()                                 { w.do(w.book.Closed) }
func (w *watcher) Sent(m *ripwrightv1.RunLineRequest)      { w.do(func() { w.book.Sent(m) }) }
func (w *watcher) Answered(a *ripwrightv1.RunLineResponse) { w.do(func() { w.book.Answered(a) }) }

// between starts a service and a tee in front of it, and gives the addresses of both.
func between(t *testing.T, w *watcher) (direct, teed string) {
	t.Helper()
	a, err := app.New(app.Config{GRPC: "127.0.0.1:0", HTTP: "127.0.0.1:0", Drain: 5 * time.Second,
		Service: service.Config{Solves: 2, Waiting: 64, Longest: 10 * time.Second}}, zap.NewNop())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	conn, err := grpc.NewClient(a.GRPC(), grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := tee.New(conn, w)
	served := make(chan error, 1)
	go func() { served <- s.Serve(l) }()
	t.Cleanup(func() {
		s.Stop()
		if err := <-served; err != nil {
			t.Error(err)
		}
		_ = conn.Close()
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return a.GRPC(), l.Addr().String()
}

func dial(t *testing.T, at string) ripwrightv1.RipServiceClient {
	t.Helper()
	conn, err := grpc.NewClient(at, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return ripwrightv1.NewRipServiceClient(conn)
}

// listening is a line's stream that records what a stacker must see of each board, from
// the line's own side and by separate rules.
type listening struct {
	grpc.ClientStream
	w *want
}

type want struct {
	mu       sync.Mutex
	plans    map[int32]*ripwrightv1.LinePlan
	confirms map[int32]*ripwrightv1.CutConfirmation
	shown    map[string]string
}

func (l *listening) SendMsg(m any) error {
	if r, ok := m.(*ripwrightv1.RunLineRequest); ok && r.GetConfirmation() != nil {
		l.w.mu.Lock()
		l.w.confirms[r.GetSequence()] = r.GetConfirmation()
		l.w.mu.Unlock()
	}
	return l.ClientStream.SendMsg(m)
}

func (l *listening) RecvMsg(m any) error {
	err := l.ClientStream.RecvMsg(m)
	if a, ok := m.(*ripwrightv1.RunLineResponse); ok && err == nil {
		l.w.mu.Lock()
		defer l.w.mu.Unlock()
		if a.GetPlan() != nil {
			l.w.plans[a.GetSequence()] = proto.CloneOf(a.GetPlan())
		}
		if a.GetSettled().GetResult() == ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED {
			p, c := l.w.plans[a.GetSettled().GetBoardSequence()], l.w.confirms[a.GetSequence()]
			l.w.shown[p.GetBoardId()] = strips(p, c)
		}
	}
	return err
}

// stackOf are the stacks of the simulated line's items.
var stackOf = func() map[string]string {
	all := map[string]string{}
	for _, it := range sim.SetUp("x").GetOrder().GetItems() {
		all[it.GetItemId()] = it.GetStack()
	}
	return all
}()

func strips(p *ripwrightv1.LinePlan, c *ripwrightv1.CutConfirmation) (text string) {
	plan := p.GetPlan()
	switch c.GetOutcome() {
	case ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT, ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK:
		return "nothing"
	case ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP:
		plan = p.GetRunnersUp()[c.GetRunnerUp()]
	case ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED, ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE:
		for _, s := range c.GetStrips() {
			if s.GetItemId() == "" {
				continue
			}
			stack := s.GetStack()
			if stack == "" {
				stack = stackOf[s.GetItemId()]
			}
			text += fmt.Sprintf("[%s %g to %s]", s.GetItemId(), s.GetWidthMm(), stack)
		}
		return text
	}
	for _, k := range plan.GetPockets() {
		if k.GetItemId() != "" {
			text += fmt.Sprintf("[%s %g to %s]", k.GetItemId(), k.GetWidthMm(), stackOf[k.GetItemId()])
		}
	}
	return text
}

func seen(v outfeed.View) (text string) {
	if v.State != outfeed.Shown {
		return "nothing"
	}
	for _, s := range v.Strips {
		if !s.Waste {
			text += fmt.Sprintf("[%s %g to %s]", s.ItemID, s.WidthMM, s.Stack)
		}
	}
	return text
}

var stack = regexp.MustCompile(` to [^\]]*\]`)

// A simulated line runs through the tee with and without breaks. Its books are right, and
// of every board that it settled the stacker saw what it must.
func TestLineThroughTee(t *testing.T) {
	boards := max(brief.Fewer(80), 40)
	for _, breaks := range []float64{0, 0.08} {
		w := &watcher{book: outfeed.New(outfeed.AtConfirmation), shown: map[string]outfeed.View{}}
		_, at := between(t, w)
		truth := &want{plans: map[int32]*ripwrightv1.LinePlan{}, confirms: map[int32]*ripwrightv1.CutConfirmation{}, shown: map[string]string{}}
		r, err := sim.Run(t.Context(), sim.Config{Seed: 5, Boards: boards, Breaks: breaks, Patience: 30 * time.Second, SetUp: sim.SetUp(fmt.Sprint("tee-", breaks)),
			Dial: func(context.Context) (ripwrightv1.RipServiceClient, func(), error) {
				conn, err := grpc.NewClient(at, grpc.WithTransportCredentials(insecure.NewCredentials()),
					grpc.WithStreamInterceptor(func(ctx context.Context, d *grpc.StreamDesc, cc *grpc.ClientConn, method string, next grpc.Streamer, o ...grpc.CallOption) (grpc.ClientStream, error) {
						s, err := next(ctx, d, cc, method, o...)
						return &listening{s, truth}, err
					}))
				if err != nil {
					return nil, nil, err
				}
				return ripwrightv1.NewRipServiceClient(conn), func() { _ = conn.Close() }, nil
			}})
		if err != nil || len(r.Wrong) > 0 || breaks > 0 && r.Breaks == 0 {
			t.Fatalf("breaks %g: %v %v, %d breaks", breaks, err, r.Wrong, r.Breaks)
		}
		w.mu.Lock()
		if len(truth.shown) < boards*3/4 || w.lines != 1+r.Streams {
			t.Errorf("%d boards settled; %d streams, want %d", len(truth.shown), w.lines, 1+r.Streams)
		}
		blank := 0
		for id, strips := range truth.shown {
			switch got := seen(w.shown[id]); {
			case got == strips:
			case breaks > 0 && (got == "nothing" || got == stack.ReplaceAllString(strips, " to ]")):
				blank++ // a break may leave a board or its stacks blank, never wrong
			default:
				t.Errorf("breaks %g, board %s: the stacker saw %s, want %s", breaks, id, got, strips)
			}
		}
		if blank > r.Breaks {
			t.Errorf("%d boards blank after %d breaks", blank, r.Breaks)
		}
		w.mu.Unlock()
	}
}

// Other calls, refusals and metadata pass unchanged.
func TestTheRestPasses(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	t.Run("calls", func(t *testing.T) {
		w := &watcher{book: outfeed.New(outfeed.AtConfirmation), shown: map[string]outfeed.View{}}
		direct, at := between(t, w)
		setUp := sim.SetUp("x")
		ask := func(b *ripwrightv1.Board) *ripwrightv1.SolveBoardRequest {
			return &ripwrightv1.SolveBoardRequest{Board: b, SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: setUp.GetSaw()}, Order: setUp.GetOrder()}
		}
		for _, b := range []*ripwrightv1.Board{sim.Board(1, 0), {LengthMm: -1}, nil} {
			one, err1 := dial(t, direct).SolveBoard(t.Context(), ask(b))
			two, err2 := dial(t, at).SolveBoard(metadata.AppendToOutgoingContext(t.Context(), "authorization", "Bearer x"), ask(b))
			if one != nil {
				one.SolveTimeUs, two.SolveTimeUs = 0, 0
			}
			if !proto.Equal(one, two) || !proto.Equal(status.Convert(err1).Proto(), status.Convert(err2).Proto()) {
				t.Errorf("%v %v\n%v %v", one, err1, two, err2)
			}
		}
		s, err := dial(t, at).RunLine(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Send(&ripwrightv1.RunLineRequest{Sequence: 7, Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: setUp}}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); status.Code(err) != codes.FailedPrecondition || len(status.Convert(err).Details()) == 0 {
			t.Errorf("a wrong sequence number: %v", err)
		}
		ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
		defer cancel()
		if s, err = dial(t, at).RunLine(ctx); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); status.Code(err) != codes.DeadlineExceeded {
			t.Errorf("a deadline: %v", err)
		}
	})
}
