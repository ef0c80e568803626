// Package atwork reports what the service is doing at the moment, for people on call:
// which lines are open, how full the queues are, and which callers fill them.
package atwork

import (
	"encoding/json"
	"math"
	"net/http"
	"time"

	"github.com/ripwright/ripwright/proto/release"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/gate"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/line"
	"github.com/ripwright/ripwright/server/memory"
)

// Sources are asked for each report. Each must be set, except for the rooms.
type Sources struct {
	Since  time.Time // when the service began
	Now    func() time.Time
	Ready  func() bool
	Boards func(callers int) gate.State
	Plans  func(callers int) gate.State
	Long   func(callers int) gate.State // requests and answers that take long to read and write
	Limits func(callers int) limit.State
	Lines  func(most int) (lines []line.UnderWay, open int)
	// Held is what calls and lines hold, Way what arriving requests hold; nil: any amount
	// is allowed.
	Held, Way *memory.Room
}

// Bounds on a report.
const (
	mostLines   = 200
	mostCallers = 10
)

// Report is what the service is doing.
type Report struct {
	Release  string    `json:"release"`
	Revision string    `json:"revision"`
	Go       string    `json:"go"`
	Since    time.Time `json:"since"`
	Now      time.Time `json:"now"`
	Ready    bool      `json:"ready"` // false: it drains

	Queues      []Queue `json:"queues"`
	Calls       Use     `json:"calls"` // under way, open lines among them
	Connections Use     `json:"connections"`
	CallerCalls int     `json:"caller_calls"` // the limit of each caller; 0: none
	// The callers with most calls under way.
	Callers []caller.Count `json:"callers"`
	Held    Use            `json:"held_bytes"`     // by calls and lines
	Way     Use            `json:"arriving_bytes"` // by arriving requests

	LinesOpen int             `json:"lines_open"`
	Lines     []line.UnderWay `json:"lines"` // the first of them
}

// Queue is work that waits for its turn.
type Queue struct {
	Name    string `json:"name"`
	Busy    int    `json:"busy"` // in progress
	Slots   int    `json:"slots"`
	Waiting int    `json:"waiting"`
	MayWait int    `json:"may_wait"` // 0: any number
	// The callers with most in the queue.
	Callers []caller.Count `json:"callers"`
}

// Use is how much of something is taken. Most is 0 if there is no limit.
type Use struct {
	Now  int64 `json:"now"`
	Most int64 `json:"most"`
}

// Report asks all sources.
func (s *Sources) Report() *Report {
	b, l := release.Of(), s.Limits(mostCallers)
	r := &Report{Release: b.Version, Revision: b.Revision, Go: b.GoVersion, Since: s.Since.UTC(), Now: s.Now().UTC(), Ready: s.Ready(),
		Queues: []Queue{queue("boards", s.Boards(mostCallers)), queue("plans and tallies", s.Plans(mostCallers)), queue("long requests and answers", s.Long(mostCallers))},
		Calls:  Use{int64(l.Calls), int64(l.MostCalls)}, Connections: Use{int64(l.Connections), int64(l.MostConnections)},
		CallerCalls: l.CallerCalls, Callers: l.Callers, Held: use(s.Held), Way: use(s.Way), Lines: []line.UnderWay{}}
	lines, open := s.Lines(mostLines)
	r.LinesOpen, r.Lines = open, append(r.Lines, lines...)
	return r
}

func queue(name string, s gate.State) Queue {
	q := Queue{Name: name, Busy: s.Busy, Slots: s.Slots, Waiting: s.Waiting, MayWait: s.MayWait, Callers: s.Callers}
	if s.MayWait == math.MaxInt {
		q.MayWait = 0
	}
	return q
}

func use(r *memory.Room) Use {
	if r == nil {
		return Use{}
	}
	return Use{r.Held(), r.Most()}
}

// Page serves a report as JSON.
func (s *Sources) Page() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		text, err := json.Marshal(s.Report())
		if err != nil {
			http.Error(w, "the report cannot be written", http.StatusInternalServerError)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Cache-Control", "no-store")
		_, _ = w.Write(text) // the caller has gone; nothing to tell it
	})
}
