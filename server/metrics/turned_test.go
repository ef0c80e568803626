package metrics

import (
	"fmt"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil"
)

// Callers from more addresses than have series share one series, and leave room for those
// with tokens.
func TestTurnedAwayIsBounded(t *testing.T) {
	m := New(time.Now)
	for i := range 10 * maxCallers {
		m.TurnedAway(fmt.Sprint("address:", i), "calls")
	}
	m.TurnedAway("token:saw 3", "calls")
	m.TurnedAway("address:\xff", "calls") // is not UTF-8, and must not panic
	if n := testutil.CollectAndCount(m.turned); n != maxCallers+1+len(limits) {
		t.Errorf("%d series, want %d", n, maxCallers+1+len(limits))
	}
	if v := testutil.ToFloat64(m.turned.WithLabelValues(other, "calls")); v != 9*maxCallers+1 {
		t.Errorf("%g counted as other", v)
	}
}
