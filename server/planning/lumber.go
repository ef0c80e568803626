package planning

import (
	"fmt"
	"math"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/lumber"
)

// stock is the lumber of a request.
type stock struct {
	lots   []lumber.Lot
	sample int
	seed   uint64
	// Some lot has no price; thin are the paths of unknown thicknesses.
	unpriced bool
	thin     []string
}

const defaultSample = 100

// ranges are those of the fields.
var ranges = &wire.ForPlans

func readLumber(p *wire.Parts, m *ripwrightv1.Lumber) stock {
	if m == nil {
		p.Because(fault.Missing, "lumber", "is missing; give the lumber")
		return stock{}
	}
	s := stock{
		sample: p.Count("lumber.sample_boards", m.SampleBoards, defaultSample, ranges.SampleBoards),
		seed:   uint64(p.Number("lumber.seed", float64(m.GetSeed()), ranges.Seed)),
	}
	if !p.Entries("lumber.lots", len(m.GetLots()), ranges.Lots) {
		return s
	}
	s.lots = make([]lumber.Lot, len(m.GetLots()))
	for i, lot := range m.GetLots() {
		path := fmt.Sprintf("lumber.lots[%d]", i)
		p.Text(path+".lot_id", lot.GetLotId(), ranges.LotID)
		out := &s.lots[i]
		*out = lumber.Lot{ID: lot.GetLotId(), Price: p.PerBoardFoot(path+".price_per_mbf", lot.PricePerMbf, ranges.Price)}
		s.unpriced = s.unpriced || lot.PricePerMbf == nil
		switch from := lot.GetSource().(type) {
		case *ripwrightv1.Lot_Listed:
			for k, b := range from.Listed.GetBoards() {
				s.thick(fmt.Sprintf("%s.listed.boards[%d].board", path, k), b.GetBoard().GetThicknessMm())
			}
			out.From = listed(p, path+".listed", from.Listed)
		case *ripwrightv1.Lot_Tagged:
			s.thick(path+".tagged", from.Tagged.GetThicknessMm())
			out.From = tagged(p, path+".tagged", from.Tagged)
		case *ripwrightv1.Lot_Spread:
			s.thick(path+".spread", from.Spread.GetThicknessMm())
			out.From = spread(p, path+".spread", from.Spread)
		default:
			p.Because(fault.Missing, path, "has no source; set listed, tagged or spread")
		}
	}
	return s
}

func (s *stock) thick(path string, mm float64) {
	if mm == 0 {
		s.thin = append(s.thin, path+".thickness_mm")
	}
}

// perBoard is the size of a sampled board, with what every plan for values keeps of it.
const perBoard = 512

// perDefect is the size of a sampled defect.
const perDefect = 64

// holds is the size of the samples in bytes.
func (s *stock) holds() (bytes int64) {
	for g := range s.lots {
		each := int64(perBoard)
		if from, ok := s.lots[g].From.(lumber.Spread); ok && len(from.Defects) > 0 {
			each += lumber.MaxDrawn * perDefect
		}
		bytes += int64(s.sample) * each
	}
	return bytes
}

// faults are those that the solver finds in the lumber, by paths of the request.
func (s *stock) faults() (l fault.List) {
	l.Within("lumber", lumber.Faults(s.lots))
	return l
}

func listed(p *wire.Parts, path string, m *ripwrightv1.ListedBoards) lumber.Listed {
	if !p.Entries(path+".boards", len(m.GetBoards()), ranges.Kinds) {
		return nil
	}
	out := make(lumber.Listed, len(m.GetBoards()))
	for i, b := range m.GetBoards() {
		at := fmt.Sprintf("%s.boards[%d]", path, i)
		out[i] = lumber.Kind{Board: p.Board(at+".board", b.GetBoard()), Count: int64(p.Count(at+".count", b.Count, 1, ranges.Count))}
	}
	return out
}

func tagged(p *wire.Parts, path string, m *ripwrightv1.PackTag) lumber.Tagged {
	out := lumber.Tagged{Thickness: p.MaybeMM(path+".thickness_mm", m.ThicknessMm, ranges.Thickness)}
	if !p.Entries(path+".rows", len(m.GetRows()), ranges.Kinds) {
		return out
	}
	out.Rows = make([]lumber.TagRow, len(m.GetRows()))
	path += ".rows"
	for i, r := range m.GetRows() {
		row := p.Row(path, i)
		out.Rows[i] = lumber.TagRow{
			Width:  row.MM("width_mm", r.GetWidthMm(), ranges.TagWidth),
			Length: row.MM("length_mm", r.GetLengthMm(), ranges.BoardLength),
			Count:  row.Count("count", r.Count, 1, ranges.Count),
		}
	}
	return out
}

func spread(p *wire.Parts, path string, m *ripwrightv1.BoardSpread) lumber.Spread {
	out := lumber.Spread{
		Mean:         p.MM(path+".mean_width_mm", m.GetMeanWidthMm(), ranges.Width),
		Deviation:    p.MM(path+".width_sd_mm", m.GetWidthSdMm(), ranges.Deviation),
		Least:        p.MM(path+".min_width_mm", m.GetMinWidthMm(), ranges.Width),
		Greatest:     p.MM(path+".max_width_mm", m.GetMaxWidthMm(), ranges.Width),
		Crook:        p.MM(path+".crook_mm", m.GetCrookMm(), ranges.Crook),
		Taper:        p.MM(path+".taper_mm", m.GetTaperMm(), ranges.Taper),
		Thickness:    p.MaybeMM(path+".thickness_mm", m.ThicknessMm, ranges.Thickness),
		StraightNear: m.GetNearEdgeStraight(),
	}
	out.Defects = rates(p, path+".defects", m.GetDefects())
	if !p.Entries(path+".lengths", len(m.GetLengths()), ranges.Kinds) {
		return out
	}
	out.Lengths = make([]lumber.LengthShare, len(m.GetLengths()))
	path += ".lengths"
	for i, e := range m.GetLengths() {
		row := p.Row(path, i)
		out.Lengths[i] = lumber.LengthShare{
			Length: row.MM("length_mm", e.GetLengthMm(), ranges.BoardLength),
			Share:  row.Count("share", e.Share, 1, ranges.Count),
		}
	}
	return out
}

func rates(p *wire.Parts, path string, all []*ripwrightv1.DefectRate) []lumber.DefectRate {
	if !p.Entries(path, len(all), ranges.Rates) {
		return nil
	}
	out := make([]lumber.DefectRate, len(all))
	for i, m := range all {
		at := fmt.Sprintf("%s[%d]", path, i)
		p.Text(at+".kind", m.GetKind(), ranges.RateKind)
		out[i] = lumber.DefectRate{Kind: m.GetKind(), PerArea: p.Number(at+".per_m2", m.GetPerM2(), ranges.Rate),
			LeastLength: p.MM(at+".min_length_mm", m.GetMinLengthMm(), ranges.RateLength), MostLength: p.MM(at+".max_length_mm", m.GetMaxLengthMm(), ranges.RateLength),
			LeastWidth: p.MM(at+".min_width_mm", m.GetMinWidthMm(), ranges.RateWidth), MostWidth: p.MM(at+".max_width_mm", m.GetMaxWidthMm(), ranges.RateWidth)}
	}
	return out
}

// pieces fits a count into the schema's type.
func pieces(n int64) int32 { return int32(min(n, math.MaxInt32)) }
