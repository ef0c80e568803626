package metrics

import (
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/run"
)

// cuts counts what was really cut, apart from what was planned.
type cuts struct {
	boards  *prometheus.CounterVec
	face    *prometheus.CounterVec
	travel  *prometheus.CounterVec
	sawn    *prometheus.CounterVec
	refused *prometheus.CounterVec
	answers prometheus.Histogram
	lines   prometheus.Gauge
	values  *prometheus.CounterVec
	pricing prometheus.Histogram
}

func newCuts() *cuts {
	counter := func(name, help string, by ...string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, by)
	}
	return &cuts{
		boards: counter("ripwright_boards_cut_total",
			"Boards whose cut was confirmed, by saw and outcome: as_planned, as_measured, not_cut, runner_up, something_else, sent_back or set_aside.", "saw", "outcome"),
		face: counter("ripwright_cut_face_area_square_meters_total",
			"Face area of boards that were cut, by saw and use: strip, end_trim, offcut, edging, kerf, or other where only the strips are known. Strip over the sum is the yield.", "saw", "use"),
		travel: counter("ripwright_blade_travel_meters_total",
			"How far each blade moved for boards that were cut as planned or by a runner-up, by saw and blade, for maintenance.", "saw", "blade"),
		sawn: counter("ripwright_blade_cut_length_meters_total",
			"Length of wood that each blade sawed in boards that were cut as planned or by a runner-up, by saw and blade, for maintenance.", "saw", "blade"),
		refused: counter("ripwright_line_boards_refused_total",
			"Boards that a live line refused, by saw and reason.", "saw", "reason"),
		answers: prometheus.NewHistogram(timing("ripwright_line_answer_duration_seconds",
			"Time from receiving a live line's board to having sent its plan, waiting included.")),
		lines: prometheus.NewGauge(prometheus.GaugeOpts{Name: "ripwright_lines_open",
			Help: "Streams of live lines that are open at this moment."}),
		values: counter("ripwright_line_value_plannings_total",
			"Plannings of a live line's values, by outcome: planned, late where they took too long, busy where no worker was free, or failed.", "outcome"),
		pricing: prometheus.NewHistogram(planningTime("ripwright_line_value_planning_duration_seconds",
			"Time to plan a live line's values, waiting for a worker not included.")),
	}
}

func (c *cuts) all() []prometheus.Collector {
	return []prometheus.Collector{c.boards, c.face, c.travel, c.sawn, c.refused, c.answers, c.lines, c.values, c.pricing}
}

var outcomes = [run.Outcomes]string{
	run.AsPlanned: "as_planned", run.AsMeasured: "as_measured", run.NotCut: "not_cut",
	run.RunnerUp: "runner_up", run.SomethingElse: "something_else", run.SentBack: "sent_back",
	run.SetAside: "set_aside",
}

func orInline(saw string) string {
	if saw == "" {
		return inline
	}
	return saw
}

// Settled counts a board that was confirmed.
func (m *Metrics) Settled(saw string, s *run.Settled) {
	saw = orInline(saw)
	c := m.cuts
	c.boards.WithLabelValues(saw, outcomes[s.Outcome]).Inc()
	p := &s.Way.Parts
	c.face.WithLabelValues(saw, "strip").Add(p.Strip.SquareMetres())
	c.face.WithLabelValues(saw, "end_trim").Add(p.EndTrim.SquareMetres())
	c.face.WithLabelValues(saw, "offcut").Add(p.Offcut.SquareMetres())
	c.face.WithLabelValues(saw, "edging").Add(p.Edging.SquareMetres())
	c.face.WithLabelValues(saw, "kerf").Add(p.Kerf.SquareMetres())
	c.face.WithLabelValues(saw, "other").Add(p.Other.SquareMetres())
	for i, b := range s.Way.Blades {
		c.travel.WithLabelValues(saw, strconv.Itoa(i)).Add(b.Travel.MM() / 1000)
		c.sawn.WithLabelValues(saw, strconv.Itoa(i)).Add(b.Cut.Metres())
	}
	m.items.cut(s)
}

// Refused counts a board that a line refused.
func (m *Metrics) Refused(saw, reason string) {
	m.cuts.refused.WithLabelValues(orInline(saw), reason).Inc()
}

// Answered counts how long a live line's board took from being received to being
// answered.
func (m *Metrics) Answered(d time.Duration) { m.cuts.answers.Observe(d.Seconds()) }

// Lines adds to the streams that are open.
func (m *Metrics) Lines(n int) { m.cuts.lines.Add(float64(n)) }

// Stands takes up how an order stands on a line: made is what is confirmed of
// each item.
func (m *Metrics) Stands(l *wire.Line, made []int64) { m.items.stand(l, made) }

// cut counts the strips that came out.
func (s *items) cut(c *run.Settled) {
	now := s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := range c.Way.Strips {
		strip := &c.Way.Strips[i]
		var e *itemSeries
		if strip.Item != "" {
			e = s.entry(itemKey{c.Held.Order, strip.Item}, now)
		}
		if e == nil {
			s.otherCut += strip.Length.Metres()
			continue
		}
		e.cut += strip.Length.Metres()
	}
}

func (s *items) stand(l *wire.Line, made []int64) {
	now := s.now()
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := range l.Items {
		it := l.Items[i]
		it.Made = made[i]
		if e := s.entry(itemKey{l.OrderID, it.ID}, now); e != nil {
			e.measure = it.Measure
			e.required, e.made = amounts(&it)
		}
	}
}

// ValuesPlanned counts a planning of a line's values.
func (m *Metrics) ValuesPlanned(outcome string, took time.Duration) {
	m.cuts.values.WithLabelValues(outcome).Inc()
	m.cuts.pricing.Observe(took.Seconds())
}

// PlanningsOf gives the counter of plannings of lines' values that came to an
// outcome.
func (m *Metrics) PlanningsOf(outcome string) prometheus.Counter {
	return m.cuts.values.WithLabelValues(outcome)
}
