package metrics

import (
	"time"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
)

// inline stands for all saws that are written out in requests: their names are
// the callers' and could be any number.
const inline = "inline"

// Planned counts a board that got a plan.
func (m *Metrics) Planned(j *wire.Job, r *rip.Result, took time.Duration) {
	saw := orInline(j.SawName)
	m.solve.WithLabelValues(saw).Observe(took.Seconds())
	outcome := "nothing"
	for i := range r.Best.Pockets {
		if r.Best.Pockets[i].Item != rip.None {
			outcome = "strips"
		}
	}
	m.boards.WithLabelValues(saw, outcome).Inc()
	switch r.EndedBy {
	case rip.TimeLimit:
		m.unproven.WithLabelValues(saw, "time").Inc()
	case rip.WorkLimit:
		m.unproven.WithLabelValues(saw, "work").Inc()
	case rip.MemoryLimit:
		m.unproven.WithLabelValues(saw, "memory").Inc()
	case rip.NoLimit:
	}
	a := &r.Best.Account
	m.face.WithLabelValues(saw, "strip").Add(a.Strip.SquareMetres())
	m.face.WithLabelValues(saw, "end_trim").Add(a.EndTrim.SquareMetres())
	m.face.WithLabelValues(saw, "offcut").Add(a.Offcut.SquareMetres())
	m.face.WithLabelValues(saw, "edging").Add(a.Edging.SquareMetres())
	m.face.WithLabelValues(saw, "kerf").Add(a.Kerf.SquareMetres())
	m.items.see(j, r.Best)
}

// amounts gives what is required and made in the unit of its gauge.
func amounts(it *order.Item) (required, made float64) {
	scale := 1.0
	switch it.Measure {
	case order.ByLength:
		scale = 1e6
	case order.ByArea:
		scale = 1e12
	case order.ByPieces, order.Unlimited:
	}
	return float64(it.Required) / scale, float64(it.Made) / scale
}
