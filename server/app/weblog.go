package app

import (
	"log"
	"strings"
	"sync"
	"time"

	"go.uber.org/zap"
)

// net/http writes a line of its own for each connection that goes wrong, and
// strangers choose how many do. Here they are entries of the log, at most mostLines
// every everyLines; how many more there were stands in the next one.
const (
	mostLines  = 10
	everyLines = time.Minute
)

type webLines struct {
	log *zap.Logger
	now func() time.Time

	mu      sync.Mutex
	since   time.Time
	written int
	left    int // out
}

// webLog is what net/http's servers write to.
func webLog(l *zap.Logger) *log.Logger { return log.New(&webLines{log: l, now: time.Now}, "", 0) }

// Write implements io.Writer: net/http calls it once a line.
func (w *webLines) Write(line []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if now := w.now(); now.Sub(w.since) >= everyLines {
		w.since, w.written = now, 0
	}
	if w.written == mostLines {
		w.left++
		return len(line), nil
	}
	w.written++
	says := []zap.Field{zap.String("says", strings.TrimSpace(string(line)))}
	if w.left > 0 {
		says = append(says, zap.Int("left_out", w.left))
		w.left = 0
	}
	w.log.Info("http", says...)
	return len(line), nil
}
