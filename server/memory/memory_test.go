package memory

import (
	"math"
	"runtime/debug"
	"testing"

	"github.com/ripwright/ripwright/solver/rip"
)

// All searches together have at most half of the limit, and each at most what a
// search may ever have, whatever the machine.
func TestShares(t *testing.T) {
	before := debug.SetMemoryLimit(-1)
	defer debug.SetMemoryLimit(before)
	for _, limit := range []int64{32 << 20, 460 << 20, 4 << 30, math.MaxInt64} {
		debug.SetMemoryLimit(limit)
		for _, n := range []int{1, 2, 3, 7, 127, 2048} {
			all := Searches(n)
			each := Each(all, n)
			if each < 1 || each > rip.DefaultMemory || each*int64(n) > all || all > limit/2 {
				t.Errorf("limit %d, %d searches: %d in all, %d each", limit, n, all, each)
			}
			if limit == 4<<30 && n <= 7 && each != rip.DefaultMemory {
				t.Errorf("%d searches have %d each of %d", n, each, limit)
			}
		}
	}
}

// Room is given out up to its bound, and to whoever is alone.
func TestRoom(t *testing.T) {
	r := NewRoom(100)
	for i, step := range []struct {
		take, give int64
		ok         bool
		held       int64
	}{
		{take: 60, ok: true, held: 60}, {take: 41, held: 60}, {take: 40, ok: true, held: 100},
		{give: 60, held: 40}, {take: 1000, held: 40}, {give: 40}, {take: 1000, ok: true, held: 1000}, {take: 1, held: 1000},
	} {
		if step.give > 0 {
			r.Give(step.give)
		} else if ok := r.Take(step.take); ok != step.ok {
			t.Errorf("step %d: %v", i, ok)
		}
		if r.Held() != step.held {
			t.Errorf("step %d: %d held, want %d", i, r.Held(), step.held)
		}
	}
	var none *Room
	if !none.Take(1 << 40) {
		t.Error("no bounds are a bound")
	}
	none.Give(1 << 40)
}
