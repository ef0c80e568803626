package metrics

import (
	"unicode/utf8"

	"github.com/prometheus/client_golang/prometheus"

	"github.com/ripwright/ripwright/server/wire"
)

// name is a saw with series.
type name struct {
	marks int  // that have a share under it
	cuts  bool // it has series of what was cut
}

// labels gives the labels under which a saw is counted. s.mu is held.
func (s *saws) labels(caller string, m wire.Mark) (saw, changed string) {
	switch {
	case m.Saw == "":
		saw = unnamed
		s.begin(saw)
		return saw, ""
	case !utf8.ValidString(m.Saw) || !utf8.ValidString(m.Changed) ||
		utf8.RuneCountInString(m.Saw) > mostRunes || utf8.RuneCountInString(m.Changed) > mostRunes:
		s.begin(other)
		return other, ""
	}
	if s.listed != nil && s.listed(m) {
		caller = "listed"
	}
	h, _ := s.marks.use(m, one(s.marks.held[m] == nil), caller, s.now())
	switch {
	case h != nil && h.of == nil:
		h.of = &wear{}
		s.begin(m.Saw).marks++
		return m.Saw, m.Changed
	case h != nil:
		return m.Saw, m.Changed
	case s.names[m.Saw] != nil: // no room for another change of its blades
		return m.Saw, other
	}
	s.begin(other)
	return other, ""
}

// begin creates a saw's counters of plans.
func (s *saws) begin(saw string) *name {
	if s.names[saw] != nil {
		return s.names[saw]
	}
	s.names[saw] = &name{}
	s.solve.WithLabelValues(saw)
	for _, o := range planOutcomes {
		s.boards.WithLabelValues(saw, o)
	}
	for _, u := range planUses {
		s.face.WithLabelValues(saw, u)
	}
	for _, l := range limitNames {
		s.unproven.WithLabelValues(saw, l)
	}
	return s.names[saw]
}

// end drops the series of a name that gave way.
func (s *saws) end(m wire.Mark) {
	of := prometheus.Labels{"saw": m.Saw}
	n := s.names[m.Saw]
	if n.marks--; n.marks > 0 || m.Saw == other || m.Saw == unnamed {
		of["blades_changed"] = m.Changed
		s.travel.DeletePartialMatch(of)
		s.sawn.DeletePartialMatch(of)
		s.seen.DeletePartialMatch(of)
		s.pockets.end(of)
		return
	}
	delete(s.names, m.Saw)
	s.solve.DeletePartialMatch(of)
	s.seen.DeletePartialMatch(of)
	s.pockets.end(of)
	for _, v := range append(s.shifts.all(), s.boards, s.unproven, s.face, s.cut, s.cutFace, s.cutRefuse, s.travel, s.sawn) {
		v.DeletePartialMatch(of)
	}
}
