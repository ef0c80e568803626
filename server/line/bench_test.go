package line

import (
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/rip"
)

// Live boards on one stream, first idle, then while solves run flat out on one core
// fewer than there are, or on one: a stand-in for planning at its limit. Prints
// both 99th percentiles and their ratio.
func BenchmarkLiveBoards(b *testing.B) {
	h := open(b, nil)
	s := h.stream(b)
	s.say(setUp)
	board := func() time.Duration {
		began := time.Now()
		a := s.say(board)
		took := time.Since(began)
		c := &ripwrightv1.CutConfirmation{BoardSequence: a.GetSequence(), Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT}
		s.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: c}})
		return took
	}
	measure := func() (median, p99 time.Duration) {
		all := make([]time.Duration, b.N)
		for i := range all {
			all[i] = board()
		}
		slices.Sort(all)
		return all[len(all)/2], all[len(all)*99/100]
	}
	board() // the first one warms up
	idle, idle99 := measure()
	stop := load(b)
	_, load99 := measure()
	stop()
	b.ReportMetric(float64(idle.Microseconds()), "idle-p50-us")
	b.ReportMetric(float64(idle99.Microseconds()), "idle-p99-us")
	b.ReportMetric(float64(load99.Microseconds()), "load-p99-us")
	b.ReportMetric(float64(load99)/float64(idle99), "p99-ratio")
}

// load solves boards on other goroutines until it is stopped.
func load(b *testing.B) (stop func()) {
	saws, err := fleet.BuiltIn()
	if err != nil {
		b.Fatal(err)
	}
	var m struct{ board, setUp ripwrightv1.RunLineRequest }
	for text, into := range map[string]*ripwrightv1.RunLineRequest{board: &m.board, setUp: &m.setUp} {
		if err := protojson.Unmarshal([]byte(text), into); err != nil {
			b.Fatal(err)
		}
	}
	l, err := wire.SetUp(m.setUp.GetSetUp(), saws, true)
	if err != nil {
		b.Fatal(err)
	}
	j, _, err := l.Board(m.board.GetBoard())
	if err != nil {
		b.Fatal(err)
	}
	var done atomic.Bool
	var workers sync.WaitGroup
	for range max(runtime.GOMAXPROCS(0)-1, 1) {
		workers.Go(func() {
			for !done.Load() {
				if _, err := rip.Solve(&j.Problem, j.Options); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	return func() {
		done.Store(true)
		workers.Wait()
	}
}
