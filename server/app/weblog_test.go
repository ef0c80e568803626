package app

import (
	"fmt"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"
)

// Lines become entries; of a flood some are written and the rest are counted.
func TestWebLines(t *testing.T) {
	core, log := observer.New(zapcore.InfoLevel)
	now := time.Unix(0, 0)
	w := &webLines{log: zap.New(core), now: func() time.Time { return now }}
	for i := range 500 {
		fmt.Fprintf(w, "http: TLS handshake error %d\n", i)
	}
	if log.Len() != mostLines || log.All()[0].ContextMap()["says"] != "http: TLS handshake error 0" {
		t.Fatalf("%d entries, %v", log.Len(), log.All()[0].ContextMap())
	}
	now = now.Add(everyLines)
	fmt.Fprintln(w, "one more")
	if last := log.All()[mostLines].ContextMap(); last["left_out"] != int64(500-mostLines) || last["says"] != "one more" {
		t.Errorf("%v", last)
	}
}
