package trial

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
)

// stopped checks that an answer is complete: a plan, a bound that is not below it, and
// the limit that ended the search.
func stopped(t *testing.T, what string, m *ripwrightv1.SolveBoardResponse, by ripwrightv1.EndedBy) {
	t.Helper()
	p := m.GetProof()
	if p.GetEndedBy() != by || p.GetProven() {
		t.Errorf("%s: ended by %s, proven %v; want %s", what, p.GetEndedBy(), p.GetProven(), by)
	}
	if len(m.GetPlan().GetSetting().GetBladesMm()) != 8 || m.GetPlan().GetWorth() != p.GetWorth() || p.GetBound() < p.GetWorth() || p.GetBound() <= 0 {
		t.Errorf("%s: plan %v, proof %v", what, m.GetPlan(), p)
	}
}

// due is a context that only reports a deadline, so that a test's own clock decides.
type due struct {
	context.Context
	at time.Time
}

func (d due) Deadline() (time.Time, bool) { return d.at, true }

// With a clock that advances only when it is read, the answer is ready before the
// deadline, with time left to send it.
func TestAnswersAreReadyInTime(t *testing.T) {
	saws, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	for d, reserve := range map[time.Duration]time.Duration{
		5 * time.Millisecond:   2 * time.Millisecond,
		20 * time.Millisecond:  2 * time.Millisecond,
		100 * time.Millisecond: 10 * time.Millisecond,
	} {
		now, tick := time.Unix(1000, 0), d/40
		s := service.New(saws, service.Config{Solves: 1, Longest: time.Minute}, metrics.New(time.Now), func() time.Time {
			now = now.Add(tick)
			return now
		})
		end := now.Add(d)
		answer, err := s.SolveBoard(due{t.Context(), end}, hard())
		if err != nil {
			t.Fatal(err)
		}
		stopped(t, d.String(), answer, ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT)
		// The reading that stops the search may come a tick late, and the service takes
		// one more.
		if left := end.Sub(now); left < reserve-2*tick || left > reserve {
			t.Errorf("%s: ready %s before the deadline, want about %s", d, left, reserve)
		}
	}
}

// A caller's deadline is kept: the answer arrives in time. A busy machine may miss a
// short deadline once, so each has several tries; a service that did not keep deadlines
// would miss them all.
func TestDeadlinesAreKept(t *testing.T) {
	h := open(t)
	req := hard()
	for _, d := range []time.Duration{5 * slower * time.Millisecond, 20 * slower * time.Millisecond, 100 * slower * time.Millisecond} {
		answer, err := inTime(d, func(ctx context.Context) (*ripwrightv1.SolveBoardResponse, error) {
			return h.rpc.SolveBoard(ctx, req)
		})
		if err != nil {
			t.Errorf("gRPC, %s: %v", d, err)
			continue
		}
		stopped(t, fmt.Sprintf("gRPC, %s", d), answer, ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT)
	}
}

// inTime repeats a call with a deadline until it is answered in time.
func inTime[M any](d time.Duration, call func(context.Context) (M, error)) (answer M, err error) {
	for range 50 {
		ctx, cancel := context.WithTimeout(context.Background(), d)
		answer, err = call(ctx)
		cancel()
		if err == nil {
			return answer, nil
		}
	}
	return answer, err
}

// JSON callers have two ways to set their time limit.
func TestTimeLimitsByJSON(t *testing.T) {
	h := open(t)
	for what, c := range map[string]struct {
		limit  float64
		header string
	}{
		"time_limit_ms":       {limit: 20},
		"a tiny limit":        {limit: 1e-9},
		"a header":            {header: "400m"},
		"the sooner of both":  {limit: 600_000, header: "400m"},
		"the sooner of both,": {limit: 20, header: "1M"},
	} {
		req := hard()
		if req.Options.TimeLimitMs = nil; c.limit > 0 {
			req.Options.TimeLimitMs = proto.Float64(c.limit)
		}
		body, err := protojson.Marshal(req)
		if err != nil {
			t.Fatal(err)
		}
		header := http.Header{"Content-Type": {"application/json"}}
		if c.header != "" {
			header.Set("Grpc-Timeout", c.header)
		}
		r := h.send(t, http.MethodPost, solvePath, header, strings.NewReader(string(body)))
		for i := 0; r.code == http.StatusGatewayTimeout && i < 50; i++ { // as for gRPC
			r = h.send(t, http.MethodPost, solvePath, header, strings.NewReader(string(body)))
		}
		var answer ripwrightv1.SolveBoardResponse
		if r.code != http.StatusOK {
			t.Errorf("%s: %d %s", what, r.code, r.body)
			continue
		}
		read(t, r.body, &answer)
		stopped(t, what, &answer, ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT)
	}
}

// The work limit stops at the same place each time, over either transport.
func TestWorkLimitRepeats(t *testing.T) {
	h := open(t)
	for _, limit := range []float64{1, 5_000, 30_000} {
		req := hard()
		req.Options.WorkLimit = proto.Float64(limit)
		first := h.both(t, req).answer
		second := h.both(t, req).answer
		if !proto.Equal(first, second) {
			t.Errorf("work limit %g: %v\nthen %v", limit, first, second)
		}
		answer, ok := first.(*ripwrightv1.SolveBoardResponse)
		if !ok || answer == nil {
			t.Fatalf("work limit %g: no answer", limit)
		}
		stopped(t, fmt.Sprintf("work limit %g", limit), answer, ripwrightv1.EndedBy_ENDED_BY_WORK_LIMIT)
	}
}
