package run

import (
	"testing"
	"time"

	"github.com/ripwright/ripwright/solver/unit"
)

const (
	metre = 1000 * unit.Millimetre
	ms    = time.Millisecond
)

// Cycles worked out by hand. Feeds of 10 to 50 m/min, 33 to 164 ft/min, are common
// practice.
func TestCycle(t *testing.T) {
	mPerMin, mmPerS := int64(metre), int64(unit.Millimetre)
	for _, c := range []struct {
		what   string
		pace   Pace
		length unit.Length
		move   unit.Length
		want   Cycle
		boards float64
	}{
		{"3 m at 30 m/min take 6 s, 150 mm at 200 mm/s 0.75 s, and 1.5 s of handling",
			Pace{30 * mPerMin, 200 * mmPerS, 1500 * ms, false}, 3 * metre, 150 * unit.Millimetre,
			Cycle{6000 * ms, 750 * ms, 1500 * ms, 8250 * ms, ByFeed}, 60 / 8.25},
		{"the same overlapped: 6 s and the longer of 0.75 s and 1.5 s, 8 boards a minute",
			Pace{30 * mPerMin, 200 * mmPerS, 1500 * ms, true}, 3 * metre, 150 * unit.Millimetre,
			Cycle{6000 * ms, 750 * ms, 1500 * ms, 7500 * ms, ByFeed}, 8},
		{"2.5 m at 50 m/min take 3 s, 400 mm at 80 mm/s 5 s: positioning limits",
			Pace{50 * mPerMin, 80 * mmPerS, 2000 * ms, true}, 2500 * unit.Millimetre, 400 * unit.Millimetre,
			Cycle{3000 * ms, 5000 * ms, 2000 * ms, 8000 * ms, ByPositioning}, 7.5},
		{"0.5 m at 10 m/min take 3 s, 4 s of handling: handling limits",
			Pace{10 * mPerMin, 0, 4000 * ms, false}, metre / 2, 90 * unit.Millimetre,
			Cycle{3000 * ms, 0, 4000 * ms, 7000 * ms, ByHandling}, 60.0 / 7},
		{"8 ft at 164 ft/min take 8/164 min = 2.926829268... s, rounded up to nanoseconds",
			Pace{164 * int64(unit.Foot), 0, 0, false}, 8 * unit.Foot, 0,
			Cycle{2_926_829_269, 0, 0, 2_926_829_269, ByFeed}, 20.5},
		{"1 nm at 3 nm/min takes 20 s; of parts as long as each other the feed counts",
			Pace{3, 0, 20 * time.Second, false}, 1, 0,
			Cycle{20 * time.Second, 0, 20 * time.Second, 40 * time.Second, ByFeed}, 1.5},
	} {
		got, ok := c.pace.Cycle(c.length, c.move)
		if !ok || got != c.want {
			t.Errorf("%s: %+v", c.what, got)
		}
		if n := got.PerMinute(); n < c.boards*(1-1e-9) || n > c.boards*(1+1e-9) {
			t.Errorf("%s: %g boards a minute, want %g", c.what, n, c.boards)
		}
	}
	if _, ok := (&Pace{Handling: time.Second}).Cycle(metre, 0); ok {
		t.Error("a cycle without a feed")
	}
	// The longest board at the slowest feed does not overflow.
	if c, _ := (&Pace{Feed: 1_000_000_000}).Cycle(20*metre, 0); c.Feed != 20*time.Minute {
		t.Errorf("20 m at 1 m/min: %v", c.Feed)
	}
}

// The longest of all moves counts, in either direction.
func TestMove(t *testing.T) {
	from := []unit.Length{100, 200, 300}
	for want, to := range map[unit.Length][]unit.Length{
		0: {100, 200, 300}, 70: {170, 190, 300}, 90: {120, 110, 300}, 250: {100, 200, 50},
	} {
		if got := Move(from, to); got != want {
			t.Errorf("to %v: %d, want %d", to, got, want)
		}
	}
	if Move(nil, from) != 0 {
		t.Error("a move from nowhere")
	}
}
