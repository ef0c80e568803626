package run

import (
	"slices"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
)

// Thresholds say how far measured strips may lie outside what a board, its plan and its
// order make possible. Measurements at an outfeed have errors, so small differences are
// ignored.
type Thresholds struct {
	// Differences up to DoubtWidth and DoubtLength are ignored; greater ones are doubted.
	DoubtWidth, DoubtLength unit.Length
	// Differences above RefuseWidth and RefuseLength are refused as impossible. They are
	// at least DoubtWidth and DoubtLength.
	RefuseWidth, RefuseLength unit.Length
}

// Usual are the default thresholds. They are wide compared with the errors of scanners
// and outfeeds, and narrow compared with a confused board or item or a mistyped digit.
var Usual = Thresholds{
	DoubtWidth: unit.Millimetre, RefuseWidth: 10 * unit.Millimetre,
	DoubtLength: 10 * unit.Millimetre, RefuseLength: 100 * unit.Millimetre,
}

// DoubtKind is what is unlikely about a measured strip.
type DoubtKind int

// The kinds.
const (
	LongerThanBoard DoubtKind = iota
	WiderThanBoard
	WiderThanPocket      // than any pocket of the plan by which the board was cut
	OffItemWidth         // outside the width and tolerance of its item
	PiecesDoNotFit       // its pieces do not fit into its runs
	BelowLeastLength     // a run is shorter than its item takes
	MoreThanPockets      // the plan's pockets cannot hold all strips
	OfItemBefore         // its item was restarted after the board was planned; it counts for no item
	DoubtKinds       int = iota
)

// Doubt is something unlikely about measured strips that were counted all the same. Path
// begins with the fields of a confirmation.
type Doubt struct {
	Kind DoubtKind
	fault.Fault
}

// Size is what bounds the strips that a board can yield on its saw.
type Size struct {
	Length unit.Length // of the board; 0: not known
	Wide   unit.Length // from least near to greatest far edge, at any skew
	Kerf   unit.Length
	Edge   bool // the fence bounds the first pocket
}

// scale compares measured strips with what is possible.
type scale struct {
	Thresholds
	doubts []Doubt
	faults fault.List
}

// beyond judges a measurement that exceeds what is possible by a difference.
func (s *scale) beyond(kind DoubtKind, by, doubt, refuse unit.Length, at, format string, args ...any) {
	switch {
	case by > refuse:
		s.faults.Add(at, format, args...)
	case by > doubt:
		s.doubt(kind, at, format, args...)
	}
}

func (s *scale) doubt(kind DoubtKind, at, format string, args ...any) {
	var l fault.List
	l.Add(at, format, args...)
	s.doubts = append(s.doubts, Doubt{kind, l[0]})
}

// weigh compares a confirmation's strips with the board, its plan and its order. What is
// not known is not checked.
func (r *Run) weigh(h *Held, c *Confirmation) ([]Doubt, fault.List) {
	if c.Against == nil {
		return nil, nil
	}
	s := scale{Thresholds: *c.Against}
	var pockets []unit.Length // widest first
	if c.Outcome == AsMeasured {
		pockets = h.pockets()
	}
	for i := range c.Strips {
		m := &c.Strips[i]
		at := path("strips", i)
		s.size(at, m, h, pockets)
		switch e := r.find(h.item(h.orderOf(m), m.Item)); {
		case e == nil:
		case e.before(h):
			s.doubt(OfItemBefore, at+".item_id", "is %q, which began again after this board was planned; the strip is in the summary and counts for no item", m.Item)
		default:
			s.item(at, m, h, e)
		}
	}
	s.share(c.Strips, pockets)
	return s.doubts, s.faults
}

// pockets gives the widths between neighbouring blades of a board's plan, widest first;
// nil if they are not known.
func (h *Held) pockets() (all []unit.Length) {
	at := h.Ways[0].Positions
	if h.Size.Length == 0 || len(at) < 2 {
		return nil
	}
	if h.Size.Edge {
		all = append(all, at[1]-at[0])
	}
	for i := 2; i < len(at); i++ {
		all = append(all, at[i]-at[i-1]-h.Size.Kerf)
	}
	slices.SortFunc(all, func(a, b unit.Length) int { return int(min(max(b-a, -1), 1)) })
	return all
}

// size compares a strip with the board and the widest pocket of its plan.
func (s *scale) size(at string, m *Measured, h *Held, pockets []unit.Length) {
	if h.Size.Length == 0 {
		return
	}
	along := length(m.Runs)
	s.beyond(LongerThanBoard, along-h.Size.Length, s.DoubtLength, s.RefuseLength, at+".stretches",
		"come to %g mm; the board is %g mm long", along.MM(), h.Size.Length.MM())
	if len(pockets) > 0 && pockets[0] < h.Size.Wide {
		s.beyond(WiderThanPocket, m.Width-pockets[0], s.DoubtWidth, s.RefuseWidth, at+".width_mm",
			"is %g; the widest pocket of the plan is %g mm wide", m.Width.MM(), pockets[0].MM())
		return
	}
	s.beyond(WiderThanBoard, m.Width-h.Size.Wide, s.DoubtWidth, s.RefuseWidth, at+".width_mm",
		"is %g; the board is %g mm wide", m.Width.MM(), h.Size.Wide.MM())
}

// item compares a strip with its item.
func (s *scale) item(at string, m *Measured, h *Held, e *Entry) {
	if e.Takes.Max > 0 {
		off := max(e.Takes.Min-e.Takes.Tolerance-m.Width, m.Width-e.Takes.Max-e.Takes.Tolerance)
		for i := range h.Ways { // half a step of the saw is always allowed
			for j := range h.Ways[i].Strips {
				if p := &h.Ways[i].Strips[j]; h.key(p) == e.Key {
					off = min(off, max(p.Width-m.Width, m.Width-p.Width))
				}
			}
		}
		s.beyond(OffItemWidth, off, s.DoubtWidth, s.RefuseWidth, at+".width_mm", "is %g; %q takes %s", m.Width.MM(), m.Item, &e.Takes)
	}
	for i, run := range m.Runs {
		if short := e.Takes.Least - length(m.Runs[i:i+1]); short > s.DoubtLength {
			s.doubt(BelowLeastLength, path(at+".stretches", i)+".length_mm", "is %g; a stretch of %q counts from %g mm on", run.MM(), m.Item, e.Takes.Least.MM())
		}
	}
	s.pieces(at, m, e)
}

// pieces compares a strip's pieces with its runs. Pieces that by number and length cannot
// all lie in them are refused. Those that do not fit with a cut between each two, longest
// first, are doubted, and so are those of a strip without runs, which may come from a
// client that measures only pieces.
func (s *scale) pieces(at string, m *Measured, e *Entry) {
	if len(m.Runs) == 0 && len(m.Cuts) > 0 {
		s.doubt(PiecesDoNotFit, at+".pieces", "are of a strip that has no stretches")
		return
	}
	cuts := slices.Clone(m.Cuts)
	slices.SortFunc(cuts, func(a, b CutMade) int { return -compareCuts(a, b) })
	room := make([]unit.Length, len(m.Runs))
	for i := range m.Runs {
		room[i] = length(m.Runs[i : i+1])
	}
	var many, sum int64 // number of pieces of at least this length, and their total length
	missing := false
	for _, c := range cuts {
		many, sum = many+c.Made, sum+c.Made*int64(c.Length)
		var most int64
		for i := range m.Runs {
			most += int64((length(m.Runs[i:i+1]) + s.RefuseLength) / c.Length)
		}
		if all := length(m.Runs) + unit.Length(len(m.Runs))*s.RefuseLength; many > most || sum > int64(all) {
			s.faults.Add(at+".pieces", "are %d of %g mm and more, %g mm in all, which cannot lie in stretches of %g mm",
				many, c.Length.MM(), unit.Length(sum).MM(), length(m.Runs).MM())
			return
		}
		left := c.Made
		for i := range room {
			each := c.Length + e.Takes.CutKerf
			n := min(max(int64((room[i]+e.Takes.CutKerf+s.DoubtLength)/each), 0), left)
			room[i] -= unit.Length(n) * each
			left -= n
		}
		missing = missing || left > 0
	}
	if missing {
		s.doubt(PiecesDoNotFit, at+".pieces", "leave no room for the cuts between them in stretches of %g mm", length(m.Runs).MM())
	}
}

// share compares all strips together with the plan's pockets: one pocket gives one strip.
func (s *scale) share(strips []Measured, pockets []unit.Length) {
	if pockets == nil || len(s.faults) > 0 {
		return
	}
	widths := make([]unit.Length, len(strips))
	for i := range strips {
		widths[i] = strips[i].Width
	}
	slices.SortFunc(widths, func(a, b unit.Length) int { return int(min(max(b-a, -1), 1)) })
	for i, w := range widths {
		if i == len(pockets) {
			s.doubt(MoreThanPockets, "strips", "are %d; the plan has %d pockets", len(strips), len(pockets))
			return
		}
		if i > 0 && w > pockets[i]+s.DoubtWidth {
			s.doubt(MoreThanPockets, "strips", "has %d of %g mm and more; the plan has fewer pockets that wide", i+1, w.MM())
			return
		}
	}
}

// length is the total length of runs.
func length(runs []unit.Run) (sum unit.Length) {
	for _, r := range runs {
		sum += unit.Length(r) * unit.Micrometre
	}
	return sum
}
