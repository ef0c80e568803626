package tally

import (
	"fmt"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
)

// pack reads one pack; the species is looked up elsewhere.
func (r *reader) pack(at string, m *ripwrightv1.Pack, j *job) core.Pack {
	p := core.Pack{
		ID:        r.text(at+".pack_id", m.GetPackId(), ranges.OwnText),
		Supplier:  r.text(at+".supplier", m.GetSupplier(), ranges.Text),
		Species:   r.text(at+".species", m.GetSpecies(), ranges.OwnText),
		Grade:     r.text(at+".grade", m.GetGrade(), ranges.Text),
		Thickness: r.size(at+".nominal_thickness_in", m.GetNominalThicknessIn(), ranges.ThicknessIn, unit.Inch),
		Price:     r.number(at+".price_per_mbf", m.GetPricePerMbf(), ranges.Price, millionths),
		Basis:     r.basis(at+".measured_basis", m.GetMeasuredBasis(), j.terms.Basis),
		Scope: choice(r, at+".scope", m.GetScope(), ripwrightv1.TallyScope_name, map[ripwrightv1.TallyScope]core.Scope{
			ripwrightv1.TallyScope_TALLY_SCOPE_UNSPECIFIED:     core.WholePack,
			ripwrightv1.TallyScope_TALLY_SCOPE_WHOLE_PACK:      core.WholePack,
			ripwrightv1.TallyScope_TALLY_SCOPE_CONSUMED_SO_FAR: core.ConsumedSoFar,
		}),
		LeastWidth: r.maybe(at+".min_width_mm", m.MinWidthMm, ranges.Width, unit.Millimetre),
		LeastLen:   r.maybe(at+".min_length_mm", m.MinLengthMm, ranges.Length, unit.Millimetre),
		Scant:      -1,
	}
	if m.ScantMm != nil {
		p.Scant = r.size(at+".scant_mm", m.GetScantMm(), ranges.Scant, unit.Millimetre)
	}
	if m.Tally != nil {
		p.Tally = r.tally(at+".tally", m.GetTally(), j)
	}
	p.Boards = r.boards(at+".boards", m.GetBoards(), j)
	if m.Tally == nil && len(m.GetBoards()) == 0 {
		r.faults.Because(fault.Missing, at, "has neither boards nor a tally; one of them is needed")
	}
	return p
}

func (r *reader) tally(at string, m *ripwrightv1.SupplierTally, j *job) *core.Supplied {
	s := &core.Supplied{Basis: r.basis(at+".basis", m.GetBasis(), j.terms.Basis)}
	switch f := m.GetForm().(type) {
	case *ripwrightv1.SupplierTally_BoardFeet:
		s.Form, s.BoardFeet = core.Total, r.number(at+".board_feet", f.BoardFeet, ranges.BoardFeet, millionths)
	case *ripwrightv1.SupplierTally_Counts:
		s.Form = core.Counts
		if r.entries(at+".counts.lines", len(f.Counts.GetLines()), ranges.Lines) {
			s.Counts = r.counts(at+".counts.lines", f.Counts.GetLines())
		}
	case *ripwrightv1.SupplierTally_Surfaces:
		s.Form = core.Surfaces
		if r.entries(at+".surfaces.lines", len(f.Surfaces.GetLines()), ranges.Lines) {
			s.Surfaces = r.surfaces(at+".surfaces.lines", f.Surfaces.GetLines())
		}
	default:
		r.faults.Because(fault.Missing, at, "is empty; set board_feet, counts or surfaces")
	}
	return s
}

func (r *reader) counts(at string, lines []*ripwrightv1.CountLine) []core.Board {
	out := make([]core.Board, len(lines))
	var u units
	var sum int64
	for i, l := range lines {
		path := entry(at, i)
		switch s := l.GetSize().(type) {
		case *ripwrightv1.CountLine_Inches:
			u.see(r, path+".inches", inches)
			out[i] = r.inches(path+".inches", s.Inches)
		case *ripwrightv1.CountLine_Metric:
			u.see(r, path+".metric", millimetres)
			out[i] = r.metric(path+".metric", s.Metric)
		default:
			r.faults.Because(fault.Missing, path, "has no size; set inches or metric")
		}
		if out[i].Thickness != 0 {
			r.faults.Add(path, "has a thickness; a tally's lines have the pack's nominal one")
		}
		out[i].Pieces = r.pieces(path+".pieces", l.Pieces)
		sum += out[i].Pieces
	}
	r.all(at, sum)
	return out
}

func (r *reader) surfaces(at string, lines []*ripwrightv1.SurfaceLine) []core.Surface {
	out := make([]core.Surface, len(lines))
	var sum int64
	for i, l := range lines {
		path := entry(at, i)
		n := l.GetSurfaceFt2()
		if n < 0 || n > core.MaxSurface {
			r.faults.Because(fault.OutOfRange, path+".surface_ft2", "is %d; must be 0 to %d", n, core.MaxSurface)
		}
		out[i] = core.Surface{SquareFeet: int64(n), Pieces: r.pieces(path+".pieces", l.Pieces)}
		sum += out[i].Pieces
	}
	r.all(at, sum)
	return out
}

// all bounds the pieces of a list.
func (r *reader) all(at string, pieces int64) {
	if pieces > core.MaxPieces {
		r.faults.Add(at, "have %d pieces; at most %d are taken", pieces, core.MaxPieces)
	}
}

func entry(at string, i int) string { return fmt.Sprintf("%s[%d]", at, i) }
