package line

import (
	"cmp"
	"slices"
	"sync"
	"time"

	"github.com/ripwright/ripwright/server/wire"
)

// UnderWay is a line whose stream is open, described for people on call.
type UnderWay struct {
	Caller  string    `json:"caller"`
	Since   time.Time `json:"since"`             // when the stream was opened
	Run     string    `json:"run_id,omitempty"`  // empty: none of its messages was taken yet
	Resumed bool      `json:"resumed,omitempty"` // it began on another stream

	Order    string `json:"order_id,omitempty"`
	Saw      string `json:"saw_name,omitempty"`
	Arbor    string `json:"arbor_fingerprint,omitempty"`
	Sequence int32  `json:"sequence"` // of the last answered message
	// Of the whole run, other streams included.
	Planned     int32 `json:"boards_planned"`
	Refused     int32 `json:"boards_refused"`
	Unconfirmed int   `json:"boards_unconfirmed"`
	InFlight    int   `json:"boards_in_flight"` // how many may be unconfirmed
	// Standing says that the client reported a stop, and For why.
	Standing bool   `json:"standing,omitempty"`
	For      string `json:"standing_for,omitempty"`
	// Answered is when the last message was; zero: none was.
	Answered time.Time `json:"answered,omitzero"`

	line *wire.Line // to which Order, Saw and Arbor belong
}

// streams holds the lines whose streams are open.
type streams struct {
	mu  sync.Mutex
	all map[*UnderWay]struct{}
}

// begin adds a line until end is called.
func (o *streams) begin(caller string, now time.Time) (l *UnderWay, end func()) {
	l = &UnderWay{Caller: caller, Since: now}
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.all == nil {
		o.all = map[*UnderWay]struct{}{}
	}
	o.all[l] = struct{}{}
	return l, func() {
		o.mu.Lock()
		defer o.mu.Unlock()
		delete(o.all, l)
	}
}

// answered records the state of a line after a message was answered.
func (o *streams) answered(l *UnderWay, s *session, now time.Time) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if l.line != s.line { // fingerprints take time to compute
		l.line = s.line
		l.Run, l.Order, l.Saw, l.Arbor = s.line.RunID, s.line.OrderID, s.line.Saw.Message.GetName(), s.line.Saw.ArborFingerprint()
	}
	l.Resumed, l.Sequence, l.Planned, l.Refused = s.resumed, s.run.Sequence, s.run.Totals.Planned, s.run.Totals.Refused
	l.For, l.Standing = s.run.Standing()
	l.Unconfirmed, l.InFlight, l.Answered = len(s.run.Held), s.run.InFlight, now
}

// of counts the open lines of a run that have had an answer.
func (o *streams) of(run string) (n int32) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for l := range o.all {
		if l.line != nil && l.Run == run {
			n++
		}
	}
	return n
}

// UnderWay gives the lines whose streams are open, those open longest first and at most
// that many, and how many there are.
func (s *Server) UnderWay(most int) (lines []UnderWay, open int) {
	o := &s.streams
	o.mu.Lock()
	for l := range o.all {
		one := *l
		one.line = nil // belongs to the line
		lines = append(lines, one)
	}
	o.mu.Unlock()
	slices.SortFunc(lines, func(a, b UnderWay) int {
		return cmp.Or(a.Since.Compare(b.Since), cmp.Compare(a.Caller, b.Caller), cmp.Compare(a.Run, b.Run))
	})
	return lines[:min(most, len(lines))], len(lines)
}
