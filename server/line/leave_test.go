package line

import (
	"context"
	"sync/atomic"
	"testing"
	"time"
)

// A line whose client disconnects silently ends on the server as well, every time.
func TestLeftLinesEnd(t *testing.T) {
	var lines atomic.Int64
	h := open(t, func(c *Config) { c.Watch = lineCounter{c.Watch, &lines} })
	for range 100 {
		ctx, leave := context.WithCancel(t.Context())
		s, err := h.client.RunLine(ctx)
		if err != nil {
			t.Fatal(err)
		}
		(&stream{t, s, 1}).say(setUp)
		leave()
	}
	for end := time.Now().Add(30 * time.Second); lines.Load() > 0; time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%d lines are still open", lines.Load())
		}
	}
}

// lineCounter counts the lines that are open.
type lineCounter struct {
	Watcher
	open *atomic.Int64
}

func (c lineCounter) Lines(n int) { c.open.Add(int64(n)) }
