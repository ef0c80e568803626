// Package budget is the one place that decides when a search has to stop: when its steps
// are used up, when its time is, or when what it needs next exceeds its memory limit.
//
// The search itself counts steps and bytes, in an order that depends on the problem
// alone, so a search that either of them ends gives the same answer on every machine and
// at any time. For that, the search has to count
//
//   - a step for every 0.3 µs of its work, approximately and at the latest: a loop that
//     grows with the problem counts its rounds, if need be several at a time;
//   - bytes before it allocates them, and as though it started without memory, whatever
//     it keeps from earlier searches.
//
// Time is up when Limits.Stop says so. Nothing here looks at a clock.
package budget

import "math"

// Limit names what ended a search.
type Limit int

// The limits.
const (
	None   Limit = iota // the search ended by itself
	Time                // Limits.Stop said so
	Work                // the steps are used up
	Memory              // what was needed next does not fit
)

// Limits of a search; 0 and nil: no limit.
type Limits struct {
	Work   int64 // steps
	Memory int64 // bytes held at the same time
	Stop   func() bool
}

// Budget is what is left of the limits of one search. It is not safe for concurrent use.
type Budget struct {
	work, next int64 // next is the count of work at which to look again
	held, most int64
	lent       int64
	limits     Limits
	ended      Limit
	due        int64 // steps after which to call
	call       func()
}

// PollEvery is how many steps may pass between two calls of Stop.
const PollEvery = 512

// New gives an unused budget.
func New(l Limits) *Budget {
	b := &Budget{limits: l}
	b.wait()
	return b
}

// Spend counts n steps and reports whether the search may continue. Once it may not, it
// never may again.
func (b *Budget) Spend(n int64) bool {
	b.work += n
	return b.work < b.next || b.look()
}

// Count counts n steps where the search cannot stop; the next Spend checks the limits.
func (b *Budget) Count(n int64) { b.work += n }

// Look polls at once, however few steps have passed since the last poll. Call it before
// something that takes long.
func (b *Budget) Look() bool {
	b.next = min(b.next, b.work)
	return b.look()
}

func (b *Budget) look() bool {
	switch {
	case b.ended != None:
	case b.limits.Work > 0 && b.work > b.limits.Work:
		b.End(Work)
	case b.limits.Stop != nil && b.limits.Stop():
		b.End(Time)
	case b.call != nil && b.work > b.due:
		f := b.call
		b.call = nil
		b.wait()
		f()
		return b.look()
	default:
		b.wait()
	}
	return b.ended == None
}

// wait sets the next look.
func (b *Budget) wait() {
	b.next = math.MaxInt64
	if b.limits.Stop != nil {
		b.next = b.work + PollEvery
	}
	if b.limits.Work > 0 {
		b.next = min(b.next, b.limits.Work+1)
	}
	if b.call != nil {
		b.next = min(b.next, b.due+1)
	}
}

// At sets f to be called, once, when more than n steps are counted, from within Spend or
// Look, unless the search has ended before. There is one such call at a time: f may set
// the next.
func (b *Budget) At(n int64, f func()) {
	b.due, b.call = n, f
	if b.ended == None {
		b.wait()
	}
}

// Remains counts n steps and reports whether there are steps and time left. It is for
// what needs no memory and may continue after memory has ended the search.
func (b *Budget) Remains(n int64) bool {
	if b.ended != Memory {
		return b.Spend(n)
	}
	before := b.work / PollEvery
	b.work += n
	return (b.limits.Work <= 0 || b.work <= b.limits.Work) &&
		(b.limits.Stop == nil || b.work/PollEvery == before || !b.limits.Stop())
}

// End ends the search if l is a limit, unless one has ended it before.
func (b *Budget) End(l Limit) {
	if b.ended == None && l != None {
		b.ended, b.next = l, math.MinInt64
	}
}

// Hold takes n bytes, before they are allocated, and reports whether that many are left.
// If not, nothing is taken and the search is ended, by Memory unless another limit has
// ended it.
func (b *Budget) Hold(n int64) bool {
	if !b.Fits(n) {
		b.End(Memory)
		return false
	}
	b.held += n
	b.most = max(b.most, b.held+b.lent)
	return true
}

// Lend is Hold for a part that is called from within a search and keeps its memory for a
// while: the bytes are not among those that the search itself counts as held, and if they
// do not fit, the search continues. It gives back -n bytes if n is below 0.
func (b *Budget) Lend(n int64) bool {
	if !b.Fits(n) {
		return false
	}
	b.lent += n
	b.most = max(b.most, b.held+b.lent)
	return true
}

// Left gives how many more bytes could be held.
func (b *Budget) Left() int64 {
	if b.limits.Memory <= 0 {
		return math.MaxInt64
	}
	return b.limits.Memory - b.held - b.lent
}

// Fits reports whether n more bytes could be held, and takes none.
func (b *Budget) Fits(n int64) bool { return n <= b.Left() }

// Free gives back n bytes to which nothing refers any more.
func (b *Budget) Free(n int64) { b.held -= n }

// Ended gives what ended the search, None while it may go on.
func (b *Budget) Ended() Limit { return b.ended }

// Work gives the steps counted so far.
func (b *Budget) Work() int64 { return b.work }

// Held gives the bytes held now, and the most ever held, including those lent.
func (b *Budget) Held() (now, most int64) { return b.held, b.most }
