package trial

import (
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"go.uber.org/zap/zapcore"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"

	"github.com/ripwright/ripwright/server/service"
)

// scraped gives the metrics as text.
func scraped(t *testing.T, h *house) string {
	t.Helper()
	return h.send(t, http.MethodGet, "/metrics", http.Header{}, http.NoBody).body
}

// A full queue refuses boards, says when to retry and counts them; then it serves again.
func TestFullQueue(t *testing.T) {
	in, out := make(chan struct{}), make(chan struct{})
	var once sync.Once
	h := assemble(t, service.Config{Solves: 1, Waiting: 0, Longest: time.Minute}, func() {
		once.Do(func() {
			close(in)
			<-out
		})
	})
	first := make(chan error)
	go func() {
		_, err := h.rpc.SolveBoard(t.Context(), goodSolve(t))
		first <- err
	}()
	<-in // the only solver is taken
	for _, req := range searches(t) {
		v := h.both(t, req)
		again := time.Duration(0)
		for _, d := range v.status.Details() {
			if r, ok := d.(*errdetails.RetryInfo); ok {
				again = r.GetRetryDelay().AsDuration()
			}
		}
		if v.status.Code() != codes.ResourceExhausted || again <= 0 {
			t.Errorf("%s, again after %s", v, again)
		}
	}
	r := h.post(t, solvePath, `{`+base+`}`)
	if r.code != http.StatusTooManyRequests || r.header.Get("Retry-After") != "1" {
		t.Errorf("%d, Retry-After %q", r.code, r.header.Get("Retry-After"))
	}
	text := scraped(t, h)
	for _, want := range []string{"ripwright_requests_shed_total 7", `ripwright_request_duration_seconds_count{code="ResourceExhausted",method="/ripwright.v1.RipService/CheckPlan"} 2`} {
		if !strings.Contains(text, want) {
			t.Errorf("the metrics do not have %s", want)
		}
	}
	close(out)
	if err := <-first; err != nil {
		t.Error(err)
	}
	if v := h.both(t, goodSolve(t)); v.status.Code() != codes.OK {
		t.Errorf("afterwards: %s", v)
	}
	quiet(t, h)
}

// A panic costs one call: its caller learns that the service is at fault, the log where
// it happened, and its solver is free again.
func TestPanic(t *testing.T) {
	var what any
	h := assemble(t, service.Config{Solves: 1, Waiting: 0, Longest: time.Minute}, func() {
		if what != nil {
			panic(what)
		}
	})
	for _, p := range []any{secret + " in a string", []string{secret}, http.ErrAbortHandler} {
		what = p
		if v := h.both(t, goodSolve(t)); v.status.Code() != codes.Internal || v.says() != "internal error" {
			t.Errorf("%v: %s", p, v)
		}
	}
	what = nil
	for _, req := range searches(t) {
		if v := h.both(t, req); v.status.Code() != codes.OK {
			t.Errorf("afterwards: %s", v)
		}
	}
	if text := scraped(t, h); !strings.Contains(text, "ripwright_panics_total 6") {
		t.Error("the panics are not counted")
	}
	logged := h.log.FilterMessage("panic").FilterLevelExact(zapcore.ErrorLevel).All()
	if len(logged) != 6 {
		t.Fatalf("%d panics logged", len(logged))
	}
	for _, e := range logged {
		if stack, _ := e.ContextMap()["stack"].(string); !strings.Contains(stack, "trial.watcher.Waited") {
			t.Errorf("the log lacks the stack trace: %v", e.ContextMap())
		}
	}
	quiet(t, h)
}
