package budget_test

import (
	"testing"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
)

func TestWork(t *testing.T) {
	b := budget.New(budget.Limits{Work: 1000})
	steps := int64(0)
	for b.Spend(1) {
		steps++
	}
	if steps != 1000 || b.Ended() != budget.Work {
		t.Errorf("%d steps, ended by %d", steps, b.Ended())
	}
	if b.Spend(0) || b.Look() {
		t.Error("a search that has spent its steps continues")
	}
	b = budget.New(budget.Limits{Work: 1000})
	b.Count(2000)
	if b.Ended() != budget.None || b.Spend(0) || b.Ended() != budget.Work {
		t.Error("steps counted by Count do not end the search")
	}
}

func TestTime(t *testing.T) {
	polls, over := 0, false
	b := budget.New(budget.Limits{Work: 1 << 40, Stop: func() bool { polls++; return over }})
	for range 10 * budget.PollEvery {
		if !b.Spend(1) {
			t.Fatal("the search ended before its time")
		}
	}
	if polls != 10 {
		t.Errorf("%d polls in 10 times %d steps", polls, budget.PollEvery)
	}
	if !b.Look() || polls != 11 {
		t.Error("Look did not poll")
	}
	over = true
	steps := 0
	for b.Spend(1) {
		steps++
	}
	if steps >= budget.PollEvery || b.Ended() != budget.Time {
		t.Errorf("%d steps after the end, ended by %d", steps, b.Ended())
	}
	over = false
	if b.Look() || b.Ended() != budget.Time {
		t.Error("an ended search continues")
	}
}

func TestMemory(t *testing.T) {
	b := budget.New(budget.Limits{Memory: 100})
	if !b.Hold(60) || !b.Fits(40) || b.Fits(41) || !b.Hold(40) {
		t.Fatal("less fits than the memory limit")
	}
	b.Free(60)
	if now, most := b.Held(); now != 40 || most != 100 {
		t.Errorf("%d held, %d at most", now, most)
	}
	if b.Hold(61) || b.Ended() != budget.Memory || b.Spend(1) {
		t.Error("more fits than the memory limit")
	}
	if now, _ := b.Held(); now != 40 {
		t.Errorf("%d held after a refusal, want 40", now)
	}
	if b := budget.New(budget.Limits{}); !b.Hold(1<<60) || !b.Spend(1<<60) || !b.Look() {
		t.Error("a budget without limits refuses")
	}
	// A size that overflows when it is added up does not fit either.
	if b := budget.New(budget.Limits{Memory: 100}); !b.Hold(50) || b.Hold(1<<63-1) {
		t.Error("a sum that overflows fits")
	}
}

// The limit that ended the search first is kept.
func TestFirst(t *testing.T) {
	b := budget.New(budget.Limits{Work: 1, Memory: 1, Stop: func() bool { return true }})
	b.Hold(2)
	b.Spend(5)
	if b.Ended() != budget.Memory {
		t.Errorf("ended by %d", b.Ended())
	}
}

// What is due is called once, from within a step, and may set what is due next.
func TestAt(t *testing.T) {
	b := budget.New(budget.Limits{Work: 1000})
	var at []int64
	b.At(100, func() {
		at = append(at, b.Work())
		b.Spend(50) // counts like any other
		b.At(400, func() { at = append(at, b.Work()) })
	})
	for b.Spend(1) {
	}
	if len(at) != 2 || at[0] != 101 || at[1] != 401 {
		t.Errorf("called after %v steps", at)
	}
	if b.Work() != 1001 || b.Ended() != budget.Work {
		t.Errorf("%d steps, ended by %d", b.Work(), b.Ended())
	}
	b.At(0, func() { t.Error("called after the end") })
	b.Spend(1)
}

// What needs no memory continues after memory has ended the search, within the other
// limits.
func TestRemains(t *testing.T) {
	b := budget.New(budget.Limits{Work: 1000, Memory: 10})
	if b.Hold(11) || b.Spend(1) {
		t.Fatal("the memory limit did not end the search")
	}
	steps := int64(1)
	for b.Remains(1) {
		steps++
	}
	if steps != 1000 || b.Ended() != budget.Memory {
		t.Errorf("%d steps, ended by %d", steps, b.Ended())
	}
	over := false
	b = budget.New(budget.Limits{Memory: 10, Stop: func() bool { return over }})
	b.Hold(11)
	for range 10 * budget.PollEvery {
		if !b.Remains(1) {
			t.Fatal("Remains stops before time is over")
		}
	}
	over = true
	if b.Remains(budget.PollEvery) {
		t.Error("Remains continues after time is over")
	}
}

// Lent bytes count against the limit and in the most, but not as held, and end nothing.
func TestLend(t *testing.T) {
	b := budget.New(budget.Limits{Memory: 100})
	if !b.Hold(40) || !b.Lend(50) || b.Lend(11) || b.Ended() != budget.None {
		t.Fatal("with 40 held and 50 lent of 100, 11 more must not fit")
	}
	if now, most := b.Held(); now != 40 || most != 90 || b.Left() != 10 {
		t.Errorf("held %d, most %d, left %d; want 40, 90, 10", now, most, b.Left())
	}
	b.Lend(-50)
	if b.Left() != 60 || !b.Hold(60) || b.Hold(1) || b.Ended() != budget.Memory {
		t.Error("returned bytes cannot be held, or more than them can")
	}
}
