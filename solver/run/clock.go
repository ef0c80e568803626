package run

import (
	"cmp"
	"slices"
)

// Moment is a time by the client's clock, or a span of it, in microseconds.
type Moment int64

// MaxMoment is the greatest time that a client may send.
const MaxMoment Moment = 1e17

// Seconds gives it in seconds.
func (m Moment) Seconds() float64 { return float64(m) / 1e6 }

// Limits of the reasons for stops.
const (
	MaxReasons   = 40 // distinct ones; further ones are counted together
	OtherReasons = "(other reasons)"
)

// Clock is what a run knows of the time: the latest time that its client sent, and
// whether the line is stopped.
type Clock struct {
	At    Moment `json:",omitempty"`
	Told  bool   `json:",omitempty"` // some message had a time
	Stops bool   `json:",omitempty"` // the line is stopped
}

// Times are how long a line ran and was stopped.
//
// Invariants, checked by bounded: nothing is negative, stops are sorted by reason, each
// once, and their durations total Standing, which with Running is at most the time from
// From to the latest time.
type Times struct {
	From              Moment
	Told              bool // From is known
	Running, Standing Moment
	Cut               int32  // boards that were cut since From
	Stops             []Stop `json:",omitempty"`

	// Of the present stop: its reason as in Stops, its duration so far, and whether it is
	// counted.
	Reason  string `json:",omitempty"`
	Stood   Moment `json:",omitempty"`
	Counted bool   `json:",omitempty"`
}

// Stop is a reason for which a line was stopped.
type Stop struct {
	Reason string
	Times  int32
	Stood  Moment
}

// Before reports whether a time lies before the latest that the run knows.
func (r *Run) Before(at Moment) bool { return r.Clock != nil && r.Clock.Told && at < r.Clock.At }

// Standing reports whether the line is stopped, and for which reason.
func (r *Run) Standing() (why string, stands bool) {
	if r.Clock == nil || !r.Clock.Stops {
		return "", false
	}
	return r.Totals.Times.Reason, true
}

// sums are all totals in progress: those of the run, and those since the mark.
func (r *Run) sums() []*Totals {
	if r.Since != nil {
		return []*Totals{&r.Totals, r.Since}
	}
	return []*Totals{&r.Totals}
}

// clock gives the run's clock, created if need be.
func (r *Run) clock() *Clock {
	if r.Clock == nil {
		r.Clock = &Clock{}
	}
	for _, t := range r.sums() {
		if t.Times == nil {
			t.Times = &Times{}
		}
	}
	return r.Clock
}

// Pass takes the time of a message, for which Before must be false. It gives since when
// the line ran or was stopped until then, and which; the first time that is sent closes
// no interval.
func (r *Run) Pass(at Moment) (from Moment, stood bool) {
	c := r.clock()
	from = at
	if c.Told {
		from = c.At
	}
	for _, t := range r.sums() {
		t.Times.pass(from, at, c.Stops)
	}
	c.At, c.Told = at, true
	return from, c.Stops
}

func (t *Times) pass(from, to Moment, stood bool) {
	if !t.Told {
		t.From, t.Told = from, true
	}
	if !stood {
		t.Running += to - from
		return
	}
	t.Standing += to - from
	t.Stood += to - from
	t.add(t.Reason, 0, to-from)
}

// add counts towards a reason, and drops it once nothing of it is left.
func (t *Times) add(reason string, times int32, stood Moment) {
	i, ok := t.find(reason)
	if !ok {
		t.Stops = slices.Insert(t.Stops, i, Stop{Reason: reason})
	}
	s := &t.Stops[i]
	s.Times, s.Stood = s.Times+times, s.Stood+stood
	if s.Times == 0 && s.Stood == 0 {
		t.Stops = slices.Delete(t.Stops, i, i+1)
	}
}

func (t *Times) find(reason string) (int, bool) {
	return slices.BinarySearchFunc(t.Stops, reason, func(s Stop, r string) int { return cmp.Compare(s.Reason, r) })
}

// named gives the name of a reason among the stops: once there are MaxReasons, new ones
// share one.
func (t *Times) named(reason string) string {
	if _, ok := t.find(reason); !ok && len(t.Stops) >= MaxReasons {
		return OtherReasons
	}
	return reason
}

// Stop stops the line as of the latest time, or, if it is stopped, changes the reason. It
// reports whether the line ran.
func (r *Run) Stop(reason string) (began bool) {
	c := r.clock()
	for _, t := range r.sums() {
		t.Times.stop(reason, !c.Stops)
	}
	began, c.Stops = !c.Stops, true
	return began
}

func (t *Times) stop(reason string, began bool) {
	switch {
	case began:
		t.Stood, t.Counted = 0, true
	case t.Counted:
		t.add(t.Reason, -1, -t.Stood)
	default:
		t.add(t.Reason, 0, -t.Stood)
	}
	t.Reason = t.named(reason)
	if t.Counted {
		t.add(t.Reason, 1, t.Stood)
	} else {
		t.add(t.Reason, 0, t.Stood)
	}
}

// Restart starts the line as of the latest time. It gives the reason and the duration of
// the stop, and reports false if the line runs.
func (r *Run) Restart() (why string, stood Moment, ok bool) {
	why, ok = r.Standing()
	if !ok {
		return "", 0, false
	}
	stood, r.Clock.Stops = r.Totals.Times.Stood, false
	for _, t := range r.sums() {
		t.Times.Reason, t.Times.Stood, t.Times.Counted = "", 0, false
	}
	return why, stood, true
}

// SinceMark gives the totals since the run's mark, or since it began.
func (r *Run) SinceMark() *Totals {
	if r.Since != nil {
		return r.Since
	}
	return &r.Totals
}

// Mark makes SinceMark count from now on. A stop that continues counts as one of the time
// before.
func (r *Run) Mark() {
	r.Since = &Totals{}
	if r.Clock == nil {
		return
	}
	r.Since.Times = &Times{From: r.Clock.At, Told: r.Clock.Told}
	if why, stands := r.Standing(); stands {
		r.Since.Times.Reason = why
	}
}

// bounded reports whether times can be those of a run with that clock.
func (t *Times) bounded(c *Clock) bool {
	switch {
	case t == nil:
		return c == nil
	case c == nil || t.From < 0 || t.From > c.At || t.Running < 0 || t.Standing < 0 || t.Running > c.At || t.Standing > c.At || t.Running+t.Standing > c.At-t.From,
		t.Cut < 0 || t.Stood < 0 || t.Stood > t.Standing || len(t.Stops) > MaxReasons+1 || !t.Told && c.Told:
		return false
	}
	var stood Moment
	for i := range t.Stops {
		s := &t.Stops[i]
		if i > 0 && t.Stops[i-1].Reason >= s.Reason || s.Times < 0 || s.Stood < 0 || s.Stood > t.Standing {
			return false
		}
		stood += s.Stood
	}
	_, known := t.find(t.Reason)
	return stood == t.Standing && (known || t.Stood == 0 && !t.Counted)
}
