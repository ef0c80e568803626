package line

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"

	"github.com/ripwright/ripwright/solver/planning/values"
)

// planner fails in its own way.
type planner func(ctx context.Context) error

func (p planner) Behind(ctx context.Context, _ func(values.Options) error) (time.Duration, error) {
	return 0, p(ctx)
}

// A planning that fails leaves the values as they were and reports it; boards do not wait
// for a slow one, and the end of the stream ends it.
func TestPlanningFails(t *testing.T) {
	for what, c := range map[string]struct {
		fails   planner
		says    string
		outcome string
	}{
		"busy":   {func(context.Context) error { return refuse.Busy("boards", time.Second) }, "busy", "busy"},
		"error":  {func(context.Context) error { return errors.New("singular") }, "no values could be worked out", "failed"},
		"panics": {func(context.Context) error { panic("no") }, "internal error", "failed"},
	} {
		h := open(t, func(cfg *Config) { cfg.Planner = c.fails })
		s := h.stream(t)
		s.say(unexpected)
		failed := func() bool {
			for range 50 {
				v := s.unhurried().GetValues()
				if v.GetFailed() > 0 {
					return v.GetNumber() == 0 && v.GetValues()[0].GetValue() == 20 && strings.Contains(v.GetFailure(), c.says)
				}
			}
			return false
		}
		if !failed() {
			t.Errorf("%s: %v", what, s.say(board).GetValues())
		}
		if n := testutil.ToFloat64(h.PlanningsOf(c.outcome)); n == 0 {
			t.Errorf("%s is not counted", what)
		}
	}
	slow := make(chan struct{})
	h := open(t, func(cfg *Config) {
		cfg.Planner = planner(func(ctx context.Context) error {
			<-ctx.Done()
			close(slow)
			return ctx.Err()
		})
	})
	s := h.stream(t)
	s.say(unexpected)
	for range 20 {
		if a := s.say(board); a.GetPlan() == nil || a.GetValues().GetNumber() != 0 {
			t.Fatal(a)
		}
	}
	s.say(`{"end": {}}`)
	select {
	case <-slow:
	case <-time.After(10 * time.Second):
		t.Error("planning continues after the end of the stream")
	}
}

// held plans as the service does, but only once it is released.
type held struct {
	Planner
	let chan struct{}
}

func (h held) Behind(ctx context.Context, work func(values.Options) error) (time.Duration, error) {
	<-h.let // also for a planning that nobody waits for any more
	return h.Planner.Behind(context.WithoutCancel(ctx), work)
}

// Values planned for one order never come into force for another, even if they are ready
// only then.
func TestLatePlanningIsDropped(t *testing.T) {
	let := make(chan struct{})
	h := open(t, func(cfg *Config) { cfg.Planner = held{cfg.Planner, let} })
	s := h.stream(t)
	s.say(strings.Replace(unexpected, `"replan_every_boards": 2`, `"replan_every_boards": 1`, 1))
	s.say(board) // starts a planning, which waits
	s.say(`{"order_change": {"order": {"order_id": "o2", "items": [{"item_id": "wide", "width_mm": 66.6, "value": 20}]}}}`)
	let <- struct{}{}
	for range 20 {
		a := s.say(board)
		if a.GetValues().GetNumber() != 0 || a.GetValues().GetValues()[0].GetValue() != 20 {
			t.Fatalf("values of the order before: %v", a.GetValues())
		}
		s.say(strings.Replace(asPlan, "AS_PLANNED", "NOT_CUT", 1) + jsonOf(a.GetSequence()) + `}}`)
		time.Sleep(5 * time.Millisecond)
	}
}

// A state whose values were tampered with is refused.
func TestWrongCourse(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(planned)
	good := s.settle(1).GetState()
	for what, spoil := range map[string]func(*kept){
		"dear":       func(k *kept) { k.Course.Force.Items[0].Value = 1 << 60 },
		"number":     func(k *kept) { k.Course.Force.Number = 99 },
		"fewer seen": func(k *kept) { k.Course.Sample.Seen = -1 },
		"no wood":    func(k *kept) { k.Course.Sample.Boards[0].Stations = nil },
	} {
		var k kept
		if err := json.Unmarshal(textOf(good), &k); err != nil {
			t.Fatal(err)
		}
		spoil(&k)
		s := h.stream(t)
		if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
			Resume: &ripwrightv1.LineResume{State: sealed(t, k)}}}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); status.Code(err) != codes.InvalidArgument {
			t.Errorf("%s: %v", what, err)
		}
	}
}
