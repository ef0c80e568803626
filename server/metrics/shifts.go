package metrics

import (
	"strings"

	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/run"
)

// shifts count by saw how long lines ran and were stopped, by their clients' times, and
// what was unlikely about measured strips.
type shifts struct {
	running, standing, stops, doubts *prometheus.CounterVec
}

func newShifts(counter func(name, help string, by ...string) *prometheus.CounterVec) shifts {
	return shifts{
		running: counter("ripwright_line_running_seconds_total",
			"Time that live lines ran, by saw, by their clients' clocks; the whole time together with ripwright_line_standing_seconds_total.", "saw"),
		standing: counter("ripwright_line_standing_seconds_total",
			"Time that live lines were stopped, by saw, by their clients' clocks.", "saw"),
		stops: counter("ripwright_line_stops_total",
			"Stops of live lines, by saw.", "saw"),
		doubts: counter("ripwright_strip_doubts_total",
			"Measured strips counted in spite of a doubt, by saw and kind of doubt.", "saw", "kind"),
	}
}

func (s *shifts) all() []*prometheus.CounterVec {
	return []*prometheus.CounterVec{s.running, s.standing, s.stops, s.doubts}
}

// doubtName is the schema's word for a kind of doubt.
func doubtName(k run.DoubtKind) string {
	return strings.ToLower(strings.TrimPrefix(wire.DoubtKind(k).String(), "STRIP_DOUBT_KIND_"))
}

// begin creates a saw's counters, at 0.
func (s *shifts) begin(saw string) {
	s.running.WithLabelValues(saw)
	s.standing.WithLabelValues(saw)
	s.stops.WithLabelValues(saw)
	for k := range run.DoubtKinds {
		s.doubts.WithLabelValues(saw, doubtName(run.DoubtKind(k)))
	}
}

// doubted counts the doubts about the strips of a board.
func (s *shifts) doubted(saw string, all []run.Doubt) {
	for _, d := range all {
		s.doubts.WithLabelValues(saw, doubtName(d.Kind)).Inc()
	}
}

// Passed counts seconds that a caller's line ran or was stopped.
func (m *Metrics) Passed(caller string, l *wire.Line, seconds float64, stood bool) {
	m.saws.mu.Lock()
	defer m.saws.mu.Unlock()
	saw, _ := m.saws.cuts(caller, l.Mark(), 0)
	if stood {
		m.saws.shifts.standing.WithLabelValues(saw).Add(seconds)
	} else {
		m.saws.shifts.running.WithLabelValues(saw).Add(seconds)
	}
}

// Stopped counts a stop of a caller's line.
func (m *Metrics) Stopped(caller string, l *wire.Line) {
	m.saws.mu.Lock()
	defer m.saws.mu.Unlock()
	saw, _ := m.saws.cuts(caller, l.Mark(), 0)
	m.saws.shifts.stops.WithLabelValues(saw).Inc()
}
