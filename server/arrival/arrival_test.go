package arrival

import (
	"testing"
	"time"
)

// As much time as reading took is kept for the answer, but no more than a tenth of the
// limit, and nothing if there is no limit.
func TestAnswer(t *testing.T) {
	const ms = time.Millisecond
	for _, c := range []struct{ read, limit, want time.Duration }{
		{2 * ms, 100 * ms, 2 * ms},
		{30 * ms, 100 * ms, 10 * ms},
		{2 * ms, 0, 0},
		{0, 100 * ms, 0},
		{-ms, 100 * ms, 0}, // a clock that was set back
	} {
		if got := Answer(c.read, c.limit); got != c.want {
			t.Errorf("Answer(%v, %v) = %v, want %v", c.read, c.limit, got, c.want)
		}
	}
}
