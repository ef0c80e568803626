package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/requests"
)

// What another caller's small boards may wait, at the 99.9th percentile, compared with an
// idle service; and how far past its limit a search may work, by the service's own clock.
const (
	mostWait  = 200 * time.Millisecond
	mostPast  = 50 * time.Millisecond
	boardsAt  = 50 * time.Millisecond
	waitsPart = 0.999
	// The limits of drawn requests, in ms: that of a live board, and that of a plan.
	liveMS   = 100
	behindMS = 1000
)

// elsewhere connects from another address of this machine, as another caller.
func elsewhere(s *service) (*grpc.ClientConn, error) {
	from := &net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, 9)}}
	return grpc.NewClient("passthrough:///"+s.GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, at string) (net.Conn, error) { return from.DialContext(ctx, "tcp", at) }))
}

// waits are the latencies of small boards, from when each was due, and the part of them
// that other programs on the processors cannot explain.
type waits struct {
	machine *rest
	mu      sync.Mutex
	all     []time.Duration
	own     []time.Duration
	refused int
	worst   time.Duration
	what    string // what was under way then
}

// live sends a small board every 50 ms until ctx is done, whether or not the earlier ones
// have been answered.
func (w *waits) live(ctx context.Context, s *service, underWay func() string) error {
	conn, err := elsewhere(s)
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close() }()
	client := ripwrightv1.NewRipServiceClient(conn)
	board := &ripwrightv1.SolveBoardRequest{SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "heron"},
		Board: &ripwrightv1.Board{LengthMm: 2000, Stations: []*ripwrightv1.Station{{FarMm: 200}}},
		Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "a", Value: 1, Width: &ripwrightv1.Item_WidthMm{WidthMm: 60}}}}}
	var each sync.WaitGroup
	defer each.Wait()
	for due := time.Now(); ctx.Err() == nil; due = due.Add(boardsAt) {
		time.Sleep(time.Until(due))
		before, _ := w.machine.used()
		each.Go(func() {
			call, cancel := context.WithTimeout(context.Background(), patience)
			defer cancel()
			_, err := client.SolveBoard(call, board)
			took := time.Since(due)
			after, _ := w.machine.used()
			own := max(took-max(after-before, 0)/time.Duration(runtime.NumCPU()), 0)
			w.mu.Lock()
			defer w.mu.Unlock()
			if err != nil {
				w.refused++
				return
			}
			w.own = append(w.own, own)
			if w.all = append(w.all, took); took > w.worst {
				w.worst, w.what = took, underWay()
			}
		})
	}
	return nil
}

// at is a quantile of the waits.
func at(part float64, waits []time.Duration) time.Duration {
	slices.Sort(waits)
	if len(waits) == 0 {
		return patience
	}
	return waits[min(int(part*float64(len(waits))), len(waits)-1)]
}

// limited reports whether a request sets its own time limit.
func limited(m proto.Message) bool {
	switch m := m.(type) {
	case interface{ GetTimeLimitMs() float64 }:
		return m.GetTimeLimitMs() > 0
	case interface {
		GetOptions() *ripwrightv1.SolveOptions
	}:
		return m.GetOptions().GetTimeLimitMs() > 0
	}
	return false
}

// under is what is under way, for the case that is kept.
type under struct {
	mu  sync.Mutex
	all map[int]string
	n   int
}

func (u *under) begin(name string, m proto.Message) (end func()) {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.n++
	n := u.n
	text, _ := protojson.Marshal(m) // it was drawn, so it can be written
	u.all[n] = name + " " + string(text) + "\n"
	return func() {
		u.mu.Lock()
		defer u.mu.Unlock()
		delete(u.all, n)
	}
}

func (u *under) String() (text string) {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, one := range u.all {
		text += one
	}
	return text
}

// others draws requests for every call, several at once, and measures their effect on
// another caller's boards, on memory and on limits.
func others(o options) error {
	s, err := start(true)
	if err != nil {
		return err
	}
	defer s.end()
	idle, err := start(true)
	if err != nil {
		return err
	}
	defer idle.end()
	ctx, cancel := context.WithTimeout(context.Background(), o.long)
	defer cancel()
	now := &under{all: map[int]string{}}
	var mu sync.Mutex
	var failed error
	sent, turned, past, unexplained := 0, 0, time.Duration(0), time.Duration(0)
	machine := &rest{ours: []int{os.Getpid(), s.PID(), idle.PID()}}
	if _, err := machine.used(); err != nil {
		return err
	}
	busy, control := waits{machine: machine}, waits{machine: machine}
	var all sync.WaitGroup
	all.Go(func() { failed = errors.Join(failed, busy.live(ctx, s, now.String)) })
	all.Go(func() { _ = control.live(ctx, idle, func() string { return "" }) })
	for i := range o.atOnce {
		all.Go(func() {
			r := rand.New(rand.NewPCG(o.seed, uint64(i)))
			for ctx.Err() == nil {
				c := &requests.Calls[r.IntN(len(requests.Calls))]
				limit := float64(liveMS)
				if c.Planning {
					limit = behindMS
				}
				request, answer := c.Draw(requests.Fresh(r), limit)
				if proto.Size(request) > mostBody {
					continue
				}
				end := now.begin(c.Name, request)
				before, _ := machine.used() // as above: it can be read
				call, stop := context.WithTimeout(context.Background(), patience)
				var err error
				if r.IntN(2) == 0 {
					err = s.post(call, c, request)
				} else if err = send(call, s.conn, c, request, answer); err == nil {
					if t, timed := answer.(interface{ GetSolveTimeUs() float64 }); timed && limited(request) {
						mu.Lock()
						over := time.Duration(t.GetSolveTimeUs()*1000) - time.Duration(limit)*time.Millisecond
						past = max(past, over)
						// The search waited while other programs had the processors.
						if after, _ := machine.used(); over > 0 {
							unexplained = max(unexplained, over-(after-before))
						}
						mu.Unlock()
					}
				}
				stop()
				end()
				mu.Lock()
				sent++
				switch code := status.Code(err); {
				case err == nil, code == codes.InvalidArgument, errors.Is(err, errLong):
				case code == codes.ResourceExhausted, code == codes.DeadlineExceeded, errors.Is(err, context.DeadlineExceeded):
					turned++
				default:
					failed = errors.Join(failed, fmt.Errorf("%s: %w", c.Name, err))
				}
				mu.Unlock()
			}
		})
	}
	all.Wait()
	peak, gone := peakOf(s)
	fmt.Printf("%d requests of every call, %d at once, seed %d (%d told to retry): another caller's %d boards took %v at the median, %v at the 99.9th percentile (%v of it not due to other programs), %v at most, %d refused; on an idle service %v, %v (%v), %v; searches exceeded their limits by at most %v, %v of it not due to other programs; peak %.1f MiB resident\n",
		sent, o.atOnce, o.seed, turned, len(busy.all), at(0.5, busy.all), at(waitsPart, busy.all), at(waitsPart, busy.own), busy.worst, busy.refused,
		at(0.5, control.all), at(waitsPart, control.all), at(waitsPart, control.own), control.worst, past, unexplained, mib(peak))
	failed = errors.Join(failed, gone)
	if peak > container {
		failed = errors.Join(failed, fmt.Errorf("that exceeds the container's %.0f MiB", mib(container)))
	}
	if busy.refused > 0 {
		failed = errors.Join(failed, errors.New("another caller's boards were refused"))
	}
	if over := at(waitsPart, busy.own) - at(waitsPart, control.own); over > time.Duration(o.slack*float64(mostWait)) {
		failed = errors.Join(failed, fmt.Errorf("another caller's boards waited %v longer than on an idle service", over))
	}
	if unexplained > time.Duration(o.slack*float64(mostPast)) {
		failed = errors.Join(failed, fmt.Errorf("a limit was exceeded by %v", unexplained))
	}
	if failed != nil {
		file := filepath.Join(os.TempDir(), fmt.Sprintf("others-%d.jsonl", o.seed))
		if err := os.WriteFile(file, []byte(busy.what), 0o600); err == nil {
			fmt.Println("requests under way during the longest wait:", file)
		}
	}
	return failed
}
