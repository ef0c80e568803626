package memory

import (
	"math"
	"os"
	"runtime/debug"
	"testing"

	"github.com/ripwright/ripwright/solver/rip"
)

// All searches together have at most half of the limit, and each at most what a search
// may ever have, whatever the machine.
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

// The collector runs less often if a limit makes it run in time, and as GOGC says if that
// is set.
func TestKeep(t *testing.T) {
	before := debug.SetMemoryLimit(460 << 20)
	percent := debug.SetGCPercent(100)
	defer func() {
		debug.SetMemoryLimit(before)
		debug.SetGCPercent(percent)
	}()
	t.Setenv("GOMEMLIMIT", "460MiB") // otherwise the container's is taken
	t.Setenv("GOGC", "50")
	if Keep(); debug.SetGCPercent(100) != 100 {
		t.Error("GOGC does not count")
	}
	if err := os.Unsetenv("GOGC"); err != nil {
		t.Fatal(err)
	}
	if Keep(); debug.SetGCPercent(100) != growth {
		t.Error("the collector runs as often with a limit as without")
	}
	debug.SetMemoryLimit(math.MaxInt64)
	if Keep(); debug.SetGCPercent(100) != 100 {
		t.Error("the collector runs less often without a limit")
	}
}

// A room gives one caller most of what there is, each of many an equal part, a newcomer a
// little in any case, and a caller that is alone all that it wants.
func TestRoom(t *testing.T) {
	const most = 6400 // of which each caller has 100
	r := NewRoom(most)
	fill := func(of string) (*Account, int64) {
		a, n := r.Open(of), int64(0)
		a.Force(1) // not alone
		for a.Take(1) {
			n++
		}
		return a, n + 1
	}
	other := r.Open("other")
	other.Force(1)
	one, n := fill("one")
	if want := int64(most * 3 / 4); n < want-8 || n > want {
		t.Errorf("one caller has %d of %d, want three quarters", n, most)
	}
	two, m := fill("two")
	if m < 100 || n+m > most {
		t.Errorf("the next one has %d", m)
	}
	last := int64(0)
	for i := range 25 {
		_, last = fill(string(rune('a' + i)))
		if held := r.Held(); held > most/2*3+50 { // and one for each
			t.Fatalf("%d held of %d", held, most)
		}
	}
	if last < 50 {
		t.Errorf("the last of many has %d", last)
	}
	if r.Open("one").Take(1) {
		t.Error("a caller beyond its share gets more by another call")
	}
	one.Close()
	two.Close()
	if r.by["one"] != 0 || r.by["two"] != 0 {
		t.Error("a closed account still counts")
	}

	r = NewRoom(100)
	a := r.Open("a")
	if !a.Take(1000) || !a.Take(1001) {
		t.Error("a caller that is alone has no room")
	}
	if r.Open("a").Take(1) || r.Open("b").Take(1) {
		t.Error("there is room beside what is too large")
	}
	a.Give(501)
	if r.Held() != 1500 {
		t.Errorf("%d held", r.Held())
	}
	a.Close()
	a.Close()
	if r.Held() != 0 || len(r.by) != 0 {
		t.Errorf("%d held by %d", r.Held(), len(r.by))
	}
	var none *Room
	if !none.Open("a").Take(1 << 40) {
		t.Error("a room without bounds has a bound")
	}
	none.Open("a").Close()
}

// A part of a call counts as the call's, and is given back separately.
func TestPart(t *testing.T) {
	r := NewRoom(100)
	a := r.Open("a")
	a.Force(90)
	take, done := r.Part(With(t.Context(), a))
	if !take(1000) {
		t.Error("a call that is alone has no room for its parts")
	}
	done()
	done()
	if r.Held() != 90 {
		t.Errorf("%d held", r.Held())
	}
	name, gone := r.Lend(a)
	if r.Lent(name) != a {
		t.Error("an account that was lent is not known")
	}
	if gone(); r.Lent(name) != nil || r.Lent("") != nil {
		t.Error("an account whose loan has ended is still known")
	}
}
