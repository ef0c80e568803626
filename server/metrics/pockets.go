package metrics

import (
	"strconv"

	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/drift"
)

// pockets compare measured widths with planned ones, by saw, change of blades and the
// blades that bound a pocket. Measured less planned over strips is the mean error.
type pockets struct {
	strips, planned, measured *prometheus.CounterVec
	drift                     *prometheus.GaugeVec
}

func newPockets(counter func(name, help string, by ...string) *prometheus.CounterVec) pockets {
	by := []string{"saw", "blades_changed", "near_blade", "far_blade"}
	return pockets{
		strips: counter("ripwright_pocket_strips_measured_total",
			"Strips of live lines with a measured width and a named pocket, by saw, its blades_changed, and the blades that bound the pocket.", by...),
		planned: counter("ripwright_pocket_planned_width_meters_total",
			"Sum of the planned widths of measured strips.", by...),
		measured: counter("ripwright_pocket_measured_width_meters_total",
			"Sum of the measured widths of measured strips.", by...),
		drift: prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "ripwright_pocket_drift_meters",
			Help: "Drift of a pocket's widths when its control chart signalled it: negative where strips are too narrow, 0 where they are as planned or no open line measures them."}, by),
	}
}

// edge is the label of a board's straight near edge.
const edge = "edge"

func ofBlades(near, far int) (n, f string) {
	if near == drift.Edge {
		return edge, strconv.Itoa(far)
	}
	return strconv.Itoa(near), strconv.Itoa(far)
}

func (p *pockets) widths(saw, changed string, all []drift.Strip) {
	for _, w := range all {
		near, far := ofBlades(w.Near, w.Far)
		p.strips.WithLabelValues(saw, changed, near, far).Inc()
		p.planned.WithLabelValues(saw, changed, near, far).Add(w.Planned.MM() / 1000)
		p.measured.WithLabelValues(saw, changed, near, far).Add(w.Measured.MM() / 1000)
	}
}

func (p *pockets) end(of prometheus.Labels) {
	p.drift.DeletePartialMatch(of)
	for _, v := range []*prometheus.CounterVec{p.strips, p.planned, p.measured} {
		v.DeletePartialMatch(of)
	}
}

// begin creates the series of a pocket, at 0.
func (p *pockets) begin(saw, changed string, near, far int) {
	n, f := ofBlades(near, far)
	for _, v := range []*prometheus.CounterVec{p.strips, p.planned, p.measured} {
		v.WithLabelValues(saw, changed, n, f)
	}
	p.drift.WithLabelValues(saw, changed, n, f)
}

// Drifts shows how far the pockets of a saw have drifted; without charts: nobody watches
// them any more.
func (m *Metrics) Drifts(caller string, mark wire.Mark, charts []drift.Chart) {
	s := m.saws
	s.mu.Lock()
	defer s.mu.Unlock()
	saw, changed := s.labels(caller, mark)
	if h := s.marks.held[mark]; len(charts) == 0 {
		of := prometheus.Labels{"saw": saw, "blades_changed": changed}
		s.pockets.drift.DeletePartialMatch(of)
		for i := 1; h != nil && i < h.of.blades; i++ {
			s.pockets.begin(saw, changed, i-1, i)
		}
	}
	for i := range charts {
		near, far := ofBlades(charts[i].Near, charts[i].Far)
		s.pockets.drift.WithLabelValues(saw, changed, near, far).Set(charts[i].By.MM() / 1000)
	}
}
