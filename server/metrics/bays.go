package metrics

import (
	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/run"
)

// bayed counts by saw the changes and the cost of the bays of lines' outfeeds, with the
// boards that are confirmed.
type bayed struct{ changes, changing, face *prometheus.CounterVec }

func newBayed(counter func(name, help string, by ...string) *prometheus.CounterVec) bayed {
	return bayed{
		changes: counter("ripwright_outfeed_bay_changes_total",
			"Changes of the stack of an outfeed bay, by saw.", "saw"),
		changing: counter("ripwright_outfeed_bay_changing_seconds_total",
			"Time that changes of outfeed bays take, added up, by saw.", "saw"),
		face: counter("ripwright_outfeed_bays_face_area_square_meters_total",
			"Face area of boards that orders took by bays of the outfeed (books=\"bays\"), and that they would have taken without a limit (books=\"free\"), by saw. The difference is what the bays cost in lumber, once an order is full.", "saw", "books"),
	}
}

func (b *bayed) all() []*prometheus.CounterVec {
	return []*prometheus.CounterVec{b.changes, b.changing, b.face}
}

// begin creates a saw's counters, at 0.
func (b *bayed) begin(saw string) {
	b.changes.WithLabelValues(saw)
	b.changing.WithLabelValues(saw)
	b.face.WithLabelValues(saw, "bays")
	b.face.WithLabelValues(saw, "free")
}

// settled counts a confirmed board.
func (b *bayed) settled(saw string, c *run.Settled) {
	h := &c.Held
	if h.Changes > 0 {
		b.changes.WithLabelValues(saw).Add(float64(h.Changes))
		b.changing.WithLabelValues(saw).Add(h.Changing.Seconds())
	}
	if h.Free == nil || !c.Outcome.Cut() {
		return
	}
	face := h.Face.SquareMetres()
	b.face.WithLabelValues(saw, "bays").Add(face)
	if !h.Free.Filled {
		b.face.WithLabelValues(saw, "free").Add(face)
	}
}

// outfeed creates the counters of a line's bays, if it has any.
func (s *saws) outfeed(caller string, l *wire.Line) {
	if l.Bays == nil {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	saw, _ := s.cuts(caller, l.Mark(), 0)
	s.bays.begin(saw)
}
