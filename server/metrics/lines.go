package metrics

import (
	"time"

	"github.com/prometheus/client_golang/prometheus"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
)

// lines counts what live lines do apart from their boards.
type lines struct {
	answers prometheus.Histogram
	open    prometheus.Gauge
	values  *prometheus.CounterVec
	pricing prometheus.Histogram
}

func newLines() *lines {
	return &lines{
		answers: prometheus.NewHistogram(timing("ripwright_line_answer_duration_seconds",
			"Time from receiving a live line's board to having sent its plan, waiting included.")),
		open: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ripwright_lines_open",
			Help: "Open streams of live lines."}),
		values: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "ripwright_line_value_plannings_total",
			Help: "How often a live line's values were planned, by outcome: planned, late (took too long), busy (no worker was free) or failed."}, []string{"outcome"}),
		pricing: prometheus.NewHistogram(planningTime("ripwright_line_value_planning_duration_seconds",
			"Time to plan a live line's values, waiting for a worker not included.")),
	}
}

func (l *lines) all() []prometheus.Collector {
	return []prometheus.Collector{l.answers, l.open, l.values, l.pricing}
}

// Settled counts a board that a caller confirmed.
func (m *Metrics) Settled(caller string, s *run.Settled) {
	m.saws.settled(caller, s)
	m.items.cut(s)
}

// Refused counts a caller's board that a line refused.
func (m *Metrics) Refused(caller string, l *wire.Line, reason ripwrightv1.LineRefusalReason) {
	m.saws.refused(caller, l.Mark(), reason)
}

// Answered counts how long a live line's board took from its receipt to its answer.
func (m *Metrics) Answered(d time.Duration) { m.lines.answers.Observe(d.Seconds()) }

// Lines adds to the streams that are open.
func (m *Metrics) Lines(n int) { m.lines.open.Add(float64(n)) }

// Stands records how an order stands on a caller's line: what is made of its items is
// what has been confirmed. The saw is counted from then on.
func (m *Metrics) Stands(caller string, l *wire.Line, items []order.Item) {
	m.saws.ready(caller, l.Mark(), len(l.Saw.Blades))
	m.saws.outfeed(caller, l)
	m.items.mu.Lock()
	defer m.items.mu.Unlock()
	m.items.stand(caller, l.OrderID, items)
}

// ValuesPlanned counts a planning of a line's values.
func (m *Metrics) ValuesPlanned(outcome string, took time.Duration) {
	m.lines.values.WithLabelValues(outcome).Inc()
	m.lines.pricing.Observe(took.Seconds())
}

// PlanningsOf gives the counter of plannings of lines' values with an outcome.
func (m *Metrics) PlanningsOf(outcome string) prometheus.Counter {
	return m.lines.values.WithLabelValues(outcome)
}
