//go:build verify

package mqtt

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"

	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/broker"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func open(t *testing.T, at, dir string, most int) *Publisher {
	t.Helper()
	p, err := Open(Config{URL: "mqtt://" + at, ClientID: "wherry-east", User: broker.User, Password: broker.Password, Topic: "saws/east", RunID: "east",
		Queue: dir, Most: most, Log: zap.NewNop(), Registry: prometheus.NewRegistry()})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// runs runs a publisher until end is called.
func runs(t *testing.T, p *Publisher) (end func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- p.Run(ctx) }()
	var once sync.Once
	end = func() {
		once.Do(func() {
			cancel()
			if err := <-done; err != nil {
				t.Error(err)
			}
		})
	}
	t.Cleanup(end)
	return end
}

func until(t *testing.T, what string, is func() bool) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !is(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%s: not within 20 s", what)
		}
	}
}

func filled(item string, n int) *ripwrightv1.RunLineResponse {
	return &ripwrightv1.RunLineResponse{Sequence: int32(n), Fills: []*ripwrightv1.Fill{{ItemId: item, Made: metres(float64(n)), Reserved: metres(0)}}}
}

// numbers gives the amounts made in the messages of a topic.
func numbers(t *testing.T, l []string) (made []float64) {
	t.Helper()
	for _, text := range l {
		var m fillMessage
		if err := json.Unmarshal([]byte(text), &m); err != nil {
			t.Fatal(err)
		}
		if made = append(made, m.Made); m.Run != "east" {
			t.Errorf("run %q", m.Run)
		}
	}
	return made
}

func upTo(n int) (l []float64) {
	for i := range n {
		l = append(l, float64(i+1))
	}
	return l
}

// A broker that is unreachable, disconnects and returns, and a publisher that ends
// meanwhile: every message arrives, in order.
func TestComes(t *testing.T) {
	at, dir, e := broker.Address(t), filepath.Join(t.TempDir(), "mqtt"), &broker.Ears{}
	p := open(t, at, dir, 100)
	end := runs(t, p)
	for n := range 20 {
		p.Tell(handover.Board{}, filled("rail", n+1))
	}
	until(t, "20 wait", func() bool { return p.queue.waiting() == 20 })
	end()
	p = open(t, at, dir, 100)
	end = runs(t, p)
	p.Stands(true, false)
	closeIt := broker.Opens(t, at, e, 0)
	until(t, "20 messages", func() bool { return len(e.Heard("saws/east/fill/rail")) == 20 })
	until(t, "the state", func() bool {
		l := e.Heard("saws/east/state")
		return len(l) > 0 && l[len(l)-1] == `{"kind":"state","run":"east","running":true,"plc":true,"service":false}`
	})
	closeIt()
	for n := range 20 {
		p.Tell(handover.Board{}, filled("rail", n+21))
	}
	broker.Opens(t, at, e, 0)
	until(t, "40 messages", func() bool { return len(e.Heard("saws/east/fill/rail")) == 40 && p.queue.waiting() == 0 })
	p.Tell(handover.Board{}, filled("rail", 41)) // and the last answer
	end()
	// The broker acknowledges a message before it tells of it, and the first broker had a
	// will as well.
	until(t, "41 messages", func() bool { return len(e.Heard("saws/east/fill/rail")) == 41 })
	if got := numbers(t, e.Heard("saws/east/fill/rail")); !slices.Equal(got, upTo(41)) {
		t.Errorf("%v", got)
	}
	until(t, "the will", func() bool {
		l := e.Heard("saws/east/state")
		return l[len(l)-1] == `{"kind":"state","run":"east","running":false,"plc":false,"service":false}`
	})
	s := schema(t)
	for _, x := range e.All() {
		fits(t, s, x.Payload)
		if x.FixedHeader.Qos != 1 || !x.FixedHeader.Retain {
			t.Errorf("%s: quality of service %d, retained %v", x.TopicName, x.FixedHeader.Qos, x.FixedHeader.Retain)
		}
	}
}

// Nothing waits for a publisher that does not run, or for an unreachable broker: the
// excess is dropped and counted.
func TestTooMuch(t *testing.T) {
	at := broker.Address(t)
	p := open(t, at, t.TempDir(), 5)
	for n := range behind + 3 { // would block here forever
		p.Tell(handover.Board{}, filled("rail", n+1))
	}
	for range 10 {
		p.Stands(true, true)
	}
	if n := testutil.ToFloat64(p.metrics.dropped.WithLabelValues(slow)); n != 3 {
		t.Errorf("%v dropped as the disk was too slow, want 3", n)
	}
	end := runs(t, p)
	until(t, "all are queued", func() bool { return len(p.events) == 0 })
	until(t, "5 wait", func() bool { return testutil.ToFloat64(p.metrics.dropped.WithLabelValues(full)) == behind-5 })
	e := &broker.Ears{}
	broker.Opens(t, at, e, 0)
	until(t, "5 messages", func() bool { return p.queue.waiting() == 0 })
	end()
	e.Bye(t)
	got := numbers(t, e.Heard("saws/east/fill/rail"))
	if want := upTo(behind)[behind-5:]; !slices.Equal(got, want) {
		t.Errorf("got %v, want the newest, %v", got, want)
	}
	if n := testutil.ToFloat64(p.metrics.sent); n != 5 {
		t.Errorf("%v sent, want 5", n)
	}
}

// A message that the broker will never accept does not hold up those after it.
func TestRefused(t *testing.T) {
	at, e := broker.Address(t), &broker.Ears{Deny: "/plan"}
	broker.Opens(t, at, e, 400)
	p := open(t, at, t.TempDir(), 100)
	runs(t, p)
	p.Tell(handover.Board{}, &ripwrightv1.RunLineResponse{Sequence: 1, Answer: &ripwrightv1.RunLineResponse_Plan{Plan: &ripwrightv1.LinePlan{Plan: &ripwrightv1.Plan{}}}})
	p.Tell(handover.Board{}, filled(strings.Repeat("x", 300), 1))
	p.Tell(handover.Board{}, filled("rail", 1))
	until(t, "the last one", func() bool { return len(e.Heard("saws/east/fill/rail")) == 1 })
	until(t, "two are refused", func() bool { return testutil.ToFloat64(p.metrics.dropped.WithLabelValues(refused)) == 2 })
}

// The broker's error is logged, without the password.
func TestWrongPassword(t *testing.T) {
	at := broker.Address(t)
	broker.Opens(t, at, &broker.Ears{}, 0)
	p := open(t, at, t.TempDir(), 100)
	p.Password = "guessed"
	var mu sync.Mutex
	var said []string
	p.Log = zap.New(hearing(func(text string) { mu.Lock(); said = append(said, text); mu.Unlock() }))
	runs(t, p)
	until(t, "a warning", func() bool { mu.Lock(); defer mu.Unlock(); return len(said) > 0 })
	mu.Lock()
	defer mu.Unlock()
	if all := fmt.Sprint(said); !strings.Contains(all, "does not answer") || strings.Contains(all, "guessed") {
		t.Error(all)
	}
}

// hearing is a log core that passes on each entry with its fields.
func hearing(hear func(string)) zapcore.Core {
	enc := zapcore.NewJSONEncoder(zap.NewProductionEncoderConfig())
	return zapcore.NewCore(enc, zapcore.AddSync(writer(hear)), zap.DebugLevel)
}

type writer func(string)

func (w writer) Write(text []byte) (int, error) {
	w(string(text))
	return len(text), nil
}
