package metrics

import (
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
)

// Saws have separate series by name, and by the words for the change of blades since
// which each is sawing. Those of the saw file have a separate room.
const (
	marksOfCaller = 32
	marksOfKind   = 96
	markIdle      = time.Hour

	unnamed   = "unnamed" // saws written out without a name
	mostRunes = 128       // of a name; a state that was tampered with may have more
)

// saws counts by saw what is planned and what was cut. Series begin with a saw's first
// board, all at 0 or one, and end when its name gives way.
type saws struct {
	now func() time.Time
	// listed reports whether a saw is in the saw file; nil: none is.
	listed func(wire.Mark) bool

	mu    sync.Mutex // also held while counting, otherwise a dropped name comes back
	marks *shares[wire.Mark, *wear]
	names map[string]*name

	// By saw.
	solve                   *prometheus.HistogramVec
	boards, unproven, face  *prometheus.CounterVec
	cut, cutFace, cutRefuse *prometheus.CounterVec
	// By saw, change of blades and blade.
	travel, sawn *prometheus.CounterVec
	seen         *prometheus.GaugeVec // by saw and change of blades
	pockets      pockets
	shifts       shifts
	bays         bayed
}

// wear is how many blades have series.
type wear struct{ blades int }

func newSaws(now func() time.Time) *saws {
	counter := func(name, help string, by ...string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, by)
	}
	s := &saws{
		now: now, marks: newShares[wire.Mark, *wear](marksOfCaller, marksOfKind, markIdle), names: map[string]*name{},
		solve: prometheus.NewHistogramVec(timing("ripwright_solve_duration_seconds",
			"Time to solve a board, waiting not included, by saw."), []string{"saw"}),
		boards: counter("ripwright_boards_planned_total",
			"Boards that got a plan, by saw and outcome: strips, or nothing where the best plan makes none.", "saw", "outcome"),
		unproven: counter("ripwright_plans_unproven_total",
			"Plans whose search a limit ended before the proof, by saw and limit.", "saw", "limit"),
		face: counter("ripwright_planned_face_area_square_meters_total",
			"Face area of planned boards, by saw and use: strip, end_trim, offcut, edging or kerf. Strip over the sum is the yield.", "saw", "use"),
		cut: counter("ripwright_boards_cut_total",
			"Boards whose cut was confirmed, by saw and outcome: as_planned, as_measured, not_cut, runner_up, something_else, sent_back or set_aside.", "saw", "outcome"),
		cutFace: counter("ripwright_cut_face_area_square_meters_total",
			"Face area of boards that were cut, by saw and use: strip, end_trim, offcut, edging, kerf, or other where only the strips are known. Strip over the sum is the yield.", "saw", "use"),
		cutRefuse: counter("ripwright_line_boards_refused_total",
			"Boards that a live line refused, by saw and reason.", "saw", "reason"),
		travel: counter("ripwright_blade_travel_meters_total",
			"Travel of each blade for boards of live lines cut as planned or by a runner-up, by saw, its blades_changed, and blade, for maintenance.", "saw", "blades_changed", "blade"),
		sawn: counter("ripwright_blade_cut_length_meters_total",
			"Length of wood that each blade sawed in boards of live lines cut as planned or by a runner-up, by saw, its blades_changed, and blade, for maintenance.", "saw", "blades_changed", "blade"),
		seen: prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "ripwright_saw_seen_timestamp_seconds",
			Help: "Time of the saw's last line or confirmation, by saw and its blades_changed; the latest one is that of the blades in use."},
			[]string{"saw", "blades_changed"}),
	}
	s.pockets, s.shifts = newPockets(counter), newShifts(counter)
	s.bays = newBayed(counter)
	s.marks.gone = s.end
	return s
}

func (s *saws) all() []prometheus.Collector {
	all := []prometheus.Collector{s.solve, s.boards, s.unproven, s.face, s.cut, s.cutFace, s.cutRefuse, s.travel, s.sawn, s.seen,
		s.pockets.strips, s.pockets.planned, s.pockets.measured, s.pockets.drift}
	for _, v := range append(s.shifts.all(), s.bays.all()...) {
		all = append(all, v)
	}
	return all
}

var (
	planOutcomes = []string{"strips", "nothing"}
	planUses     = []string{"strip", "end_trim", "offcut", "edging", "kerf"}
	// A search that ended by itself is not counted.
	//exhaustive:ignore
	limitNames = map[rip.Limit]string{rip.TimeLimit: "time", rip.WorkLimit: "work", rip.MemoryLimit: "memory"}
	outcomes   = [run.Outcomes]string{
		run.AsPlanned: "as_planned", run.AsMeasured: "as_measured", run.NotCut: "not_cut",
		run.RunnerUp: "runner_up", run.SomethingElse: "something_else", run.SentBack: "sent_back",
		run.SetAside: "set_aside",
	}
)

// reasonName is the schema's word for a reason.
func reasonName(r ripwrightv1.LineRefusalReason) string {
	return strings.ToLower(strings.TrimPrefix(r.String(), "LINE_REFUSAL_REASON_"))
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// cuts creates a saw's counters of what was cut, and those of its blades.
func (s *saws) cuts(caller string, m wire.Mark, blades int) (saw, changed string) {
	saw, changed = s.labels(caller, m)
	if n := s.names[saw]; !n.cuts {
		n.cuts = true
		for _, o := range outcomes {
			s.cut.WithLabelValues(saw, o)
		}
		for r := range ripwrightv1.LineRefusalReason_name {
			if r != 0 {
				s.cutRefuse.WithLabelValues(saw, reasonName(ripwrightv1.LineRefusalReason(r)))
			}
		}
		for _, u := range append(planUses[:len(planUses):len(planUses)], "other") {
			s.cutFace.WithLabelValues(saw, u)
		}
		s.shifts.begin(saw)
	}
	s.seen.WithLabelValues(saw, changed).Set(float64(s.now().UnixMilli()) / 1000)
	if h := s.marks.held[m]; h != nil {
		for ; h.of.blades < blades; h.of.blades++ {
			s.travel.WithLabelValues(saw, changed, strconv.Itoa(h.of.blades))
			s.sawn.WithLabelValues(saw, changed, strconv.Itoa(h.of.blades))
			if h.of.blades > 0 {
				s.pockets.begin(saw, changed, h.of.blades-1, h.of.blades)
			}
		}
	}
	return saw, changed
}

// planned counts a board that got a plan.
func (s *saws) planned(caller string, m wire.Mark, r *rip.Result, took time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	saw, _ := s.labels(caller, m)
	s.solve.WithLabelValues(saw).Observe(took.Seconds())
	outcome := "nothing"
	for i := range r.Best.Pockets {
		if r.Best.Pockets[i].Item != rip.None {
			outcome = "strips"
		}
	}
	s.boards.WithLabelValues(saw, outcome).Inc()
	if limit, ok := limitNames[r.EndedBy]; ok {
		s.unproven.WithLabelValues(saw, limit).Inc()
	}
	a := &r.Best.Account
	s.face.WithLabelValues(saw, "strip").Add(a.Strip.SquareMetres())
	s.face.WithLabelValues(saw, "end_trim").Add(a.EndTrim.SquareMetres())
	s.face.WithLabelValues(saw, "offcut").Add(a.Offcut.SquareMetres())
	s.face.WithLabelValues(saw, "edging").Add(a.Edging.SquareMetres())
	s.face.WithLabelValues(saw, "kerf").Add(a.Kerf.SquareMetres())
}

// settled counts a board that was confirmed.
func (s *saws) settled(caller string, c *run.Settled) {
	s.mu.Lock()
	defer s.mu.Unlock()
	blades := c.Way.Blades
	if c.Outcome == run.AsMeasured && len(c.Held.Ways) > 0 {
		blades = c.Held.Ways[0].Blades // cut as planned; only the strips are measured
	}
	saw, changed := s.cuts(caller, wire.Mark{Saw: c.Held.Saw, Changed: c.Held.BladesChanged}, len(blades))
	s.cut.WithLabelValues(saw, outcomes[c.Outcome]).Inc()
	p := &c.Way.Parts
	s.cutFace.WithLabelValues(saw, "strip").Add(p.Strip.SquareMetres())
	s.cutFace.WithLabelValues(saw, "end_trim").Add(p.EndTrim.SquareMetres())
	s.cutFace.WithLabelValues(saw, "offcut").Add(p.Offcut.SquareMetres())
	s.cutFace.WithLabelValues(saw, "edging").Add(p.Edging.SquareMetres())
	s.cutFace.WithLabelValues(saw, "kerf").Add(p.Kerf.SquareMetres())
	s.cutFace.WithLabelValues(saw, "other").Add(p.Other.SquareMetres())
	for i, b := range blades {
		s.travel.WithLabelValues(saw, changed, strconv.Itoa(i)).Add(b.Travel.MM() / 1000)
		s.sawn.WithLabelValues(saw, changed, strconv.Itoa(i)).Add(b.Cut.Metres())
	}
	s.pockets.widths(saw, changed, c.Widths)
	s.shifts.doubted(saw, c.Doubts)
	s.bays.settled(saw, c)
}

// refused counts a board that a line refused.
func (s *saws) refused(caller string, m wire.Mark, reason ripwrightv1.LineRefusalReason) {
	s.mu.Lock()
	defer s.mu.Unlock()
	saw, _ := s.cuts(caller, m, 0)
	s.cutRefuse.WithLabelValues(saw, reasonName(reason)).Inc()
}

// ready creates a saw's counters before its first board.
func (s *saws) ready(caller string, m wire.Mark, blades int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.cuts(caller, m, blades)
}
