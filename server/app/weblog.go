package app

import (
	"log"
	"strings"
	"sync"
	"time"

	"go.uber.org/zap"
)

// net/http writes a line for each connection that fails, and strangers decide how many
// fail. Here the lines are entries of the log, at most mostLines every everyLines; the
// next entry counts those left out.
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
	left    int // how many were left out
}

// webLog is the logger of net/http's servers.
func webLog(l *zap.Logger) *log.Logger { return log.New(&webLines{log: l, now: time.Now}, "", 0) }

// Write implements io.Writer: net/http calls it once for each line.
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
