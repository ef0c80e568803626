package tally

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// units checks that a list of sizes is in one unit. A mixture is most likely two sources
// pasted together, one of them not converted.
type units struct{ first string }

const (
	inches      = "inches and feet"
	millimetres = "millimetres"
)

func (u *units) see(r *reader, path, of string) {
	switch u.first {
	case "":
		u.first = of
	case of:
	default:
		r.faults.Add(path, "is in %s; entries before it are in %s, and one list must be in one unit", of, u.first)
	}
}

func (r *reader) inches(at string, m *ripwrightv1.InchSize) core.Board {
	return core.Board{
		Width:     r.size(at+".width_in", m.GetWidthIn(), ranges.WidthIn, unit.Inch),
		Length:    r.size(at+".length_ft", m.GetLengthFt(), ranges.LengthFt, unit.Foot),
		Thickness: r.maybe(at+".thickness_in", m.ThicknessIn, ranges.ThicknessIn, unit.Inch),
	}
}

func (r *reader) metric(at string, m *ripwrightv1.MetricSize) core.Board {
	return core.Board{
		Width:     r.size(at+".width_mm", m.GetWidthMm(), ranges.Width, unit.Millimetre),
		Length:    r.size(at+".length_mm", m.GetLengthMm(), ranges.Length, unit.Millimetre),
		Thickness: r.maybe(at+".thickness_mm", m.ThicknessMm, ranges.Thickness, unit.Millimetre),
	}
}

func (r *reader) boards(at string, list []*ripwrightv1.TallyBoard, j *job) []core.Board {
	if !r.entries(at, len(list), ranges.Boards) {
		return nil
	}
	out := make([]core.Board, len(list))
	var u units
	var sum int64
	for i, m := range list {
		path := entry(at, i)
		switch s := m.GetSize().(type) {
		case *ripwrightv1.TallyBoard_Inches:
			u.see(r, path+".inches", inches)
			out[i] = r.inches(path+".inches", s.Inches)
		case *ripwrightv1.TallyBoard_Metric:
			u.see(r, path+".metric", millimetres)
			out[i] = r.metric(path+".metric", s.Metric)
		case *ripwrightv1.TallyBoard_Profile:
			u.see(r, path+".profile", millimetres)
			out[i] = r.profile(path+".profile", s.Profile, j.width)
			if m.Pieces != nil && m.GetPieces() != 1 {
				r.faults.Add(path+".pieces", "is %d; a profile is 1 board", m.GetPieces())
			}
		default:
			r.faults.Because(fault.Missing, path, "has no size; set inches, metric or profile")
		}
		out[i].ID, out[i].Consumed = r.text(path+".board_id", m.GetBoardId(), ranges.Text), m.GetConsumed()
		out[i].Pieces = r.pieces(path+".pieces", m.Pieces)
		sum += out[i].Pieces
	}
	r.all(at, sum)
	return out
}

// profile reads a scan. Faults of its shape are left to the solver, once every number is
// valid.
func (r *reader) profile(at string, m *ripwrightv1.Board, taken core.TakenAt) core.Board {
	if !r.entries(at+".stations", len(m.GetStations()), ranges.Stations) {
		return core.Board{}
	}
	before := len(r.faults)
	b := wood.Board{
		Length:       r.size(at+".length_mm", m.GetLengthMm(), ranges.Length, unit.Millimetre),
		Thickness:    r.maybe(at+".thickness_mm", m.ThicknessMm, ranges.Thickness, unit.Millimetre),
		StraightNear: m.GetNearEdgeStraight(),
		Stations:     make([]wood.Station, len(m.GetStations())),
	}
	for i, s := range m.GetStations() {
		path := entry(at+".stations", i)
		b.Stations[i] = wood.Station{
			X:    r.size(path+".x_mm", s.GetXMm(), ranges.Along, unit.Millimetre),
			Near: r.size(path+".near_mm", s.GetNearMm(), ranges.Across, unit.Millimetre),
			Far:  r.size(path+".far_mm", s.GetFarMm(), ranges.Across, unit.Millimetre),
		}
	}
	var shape fault.List
	if len(r.faults) == before {
		shape = b.Faults()
		r.faults.Within(at, shape)
	}
	if len(r.faults) > before {
		return core.Board{}
	}
	return core.Scanned(&b, taken)
}
