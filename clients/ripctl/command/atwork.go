package command

import (
	"cmp"
	"encoding/json"
	"fmt"
	"net"
	"net/url"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// work is what a service reports at /at-work about its current work.
type work struct {
	Release  string    `json:"release"`
	Revision string    `json:"revision"`
	Go       string    `json:"go"`
	Since    time.Time `json:"since"`
	Now      time.Time `json:"now"`
	Ready    bool      `json:"ready"`
	Queues   []struct {
		Name    string   `json:"name"`
		Busy    int64    `json:"busy"`
		Slots   int64    `json:"slots"`
		Waiting int64    `json:"waiting"`
		MayWait int64    `json:"may_wait"`
		Callers []counts `json:"callers"`
	} `json:"queues"`
	Calls       taken    `json:"calls"`
	Connections taken    `json:"connections"`
	CallerCalls int64    `json:"caller_calls"`
	Callers     []counts `json:"callers"`
	Held        taken    `json:"held_bytes"`
	Way         taken    `json:"arriving_bytes"`
	LinesOpen   int      `json:"lines_open"`
	Lines       []struct {
		Caller      string    `json:"caller"`
		Since       time.Time `json:"since"`
		Run         string    `json:"run_id"`
		Resumed     bool      `json:"resumed"`
		Order       string    `json:"order_id"`
		Saw         string    `json:"saw_name"`
		Planned     int32     `json:"boards_planned"`
		Refused     int32     `json:"boards_refused"`
		Unconfirmed int       `json:"boards_unconfirmed"`
		InFlight    int       `json:"boards_in_flight"`
		Standing    bool      `json:"standing"`
		For         string    `json:"standing_for"`
		Answered    time.Time `json:"answered"`
	} `json:"lines"`
}

type counts struct {
	Caller string `json:"caller"`
	N      int64  `json:"n"`
}

type taken struct {
	Now  int64 `json:"now"`
	Most int64 `json:"most"`
}

// usualPorts are the default ports: if only the gRPC port is known, the other follows.
var usualPorts = map[string]string{"7420": "7421"}

// metricsOf guesses the address of a service's metrics; empty: unknown.
func (t *tool) metricsOf() string {
	host, port, err := net.SplitHostPort(t.server)
	beside, usual := usualPorts[port]
	if err != nil || !usual {
		return ""
	}
	u := url.URL{Scheme: "http", Host: net.JoinHostPort(host, beside), Path: "/metrics"}
	if t.access.Secured() {
		u.Scheme = "https"
	}
	return u.String()
}

// tellWork prints which lines are open and how full everything is.
func (t *tool) tellWork(text []byte) error {
	var of work
	if err := json.Unmarshal(text, &of); err != nil {
		return coded{fmt.Errorf("what the service is doing: %w", err), statusServer}
	}
	state := "ready"
	if !of.Ready {
		state = "draining"
	}
	fmt.Fprintf(t.out, "\n%s, up for %s, since %s; revision %s, %s\n\n", state, since(of.Since, of.Now), of.Since.UTC().Format(time.RFC3339), shown(of.Revision), shown(of.Go))
	w := newTable(t.out)
	fmt.Fprintln(w, "queue\tat work\tof\twaiting\tof\tmost by")
	for _, q := range of.Queues {
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%s\t%s\n", shown(q.Name), q.Busy, q.Slots, q.Waiting, atMost(q.MayWait, strconv.FormatInt), by(q.Callers))
	}
	if err := w.Flush(); err != nil {
		return failed(err)
	}
	fmt.Fprintln(w, "\nin use\tnow\tat most\tmost by")
	fmt.Fprintf(w, "calls, lines among them\t%d\t%s\t%s\n", of.Calls.Now, atMost(of.Calls.Most, strconv.FormatInt), by(of.Callers))
	fmt.Fprintf(w, "of one caller\t\t%s\n", atMost(of.CallerCalls, strconv.FormatInt))
	fmt.Fprintf(w, "connections\t%d\t%s\n", of.Connections.Now, atMost(of.Connections.Most, strconv.FormatInt))
	fmt.Fprintf(w, "memory of calls and lines\t%s\t%s\n", bytesOf(of.Held.Now, 10), atMost(of.Held.Most, bytesOf))
	fmt.Fprintf(w, "memory of requests that are coming\t%s\t%s\n", bytesOf(of.Way.Now, 10), atMost(of.Way.Most, bytesOf))
	if err := w.Flush(); err != nil {
		return failed(err)
	}
	fmt.Fprintf(t.out, "\n%d lines are open\n", of.LinesOpen)
	if of.LinesOpen == 0 {
		return nil
	}
	fmt.Fprintln(w, "run\tcaller\torder\tsaw\tplanned\trefused\tunconfirmed\tstands\topen for\tanswered")
	for _, l := range of.Lines {
		run, ago := shown(l.Run), since(l.Answered, of.Now)+" ago"
		if l.Run == "" {
			run, ago = "(not begun)", "never"
		}
		if l.Resumed {
			run += " (resumed)"
		}
		stands := "–"
		if l.Standing {
			stands = shown(cmp.Or(l.For, "without a reason"))
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%d\t%d\t%d of %d\t%s\t%s\t%s\n", run, shown(l.Caller), shown(l.Order), shown(l.Saw), l.Planned, l.Refused, l.Unconfirmed, l.InFlight, stands,
			since(l.Since, of.Now), ago)
	}
	if err := w.Flush(); err != nil {
		return failed(err)
	}
	if more := of.LinesOpen - len(of.Lines); more > 0 {
		fmt.Fprintf(t.out, "and %d more\n", more)
	}
	return nil
}

// by lists callers with how many of something are theirs.
func by(all []counts) string {
	var text []string
	for _, c := range all {
		text = append(text, fmt.Sprintf("%s %d", shown(c.Caller), c.N))
	}
	return strings.Join(text, ", ")
}

func atMost(n int64, write func(int64, int) string) string {
	if n == 0 {
		return "any"
	}
	return write(n, 10)
}

func bytesOf(n int64, _ int) string { return fmt.Sprintf("%.1f MiB", float64(n)/(1<<20)) }

// since is how long ago something was, in suitable units.
func since(then, now time.Time) string {
	d := max(now.Sub(then), 0)
	if d < time.Minute {
		return d.Round(time.Second / 10).String()
	}
	return d.Round(time.Second).String()
}

// shown is text chosen by others, without what a terminal would interpret.
func shown(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return unicode.ReplacementChar
		}
		return r
	}, text)
}
