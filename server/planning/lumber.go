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
}

const defaultSample = 100

func readLumber(p *wire.Parts, m *ripwrightv1.Lumber) stock {
	if m == nil {
		p.Add("lumber", "is missing; say what lumber there is")
		return stock{}
	}
	s := stock{sample: int(m.GetSampleBoards()), seed: uint64(max(m.GetSeed(), 0))}
	if s.sample == 0 {
		s.sample = defaultSample
	}
	if s.sample < 1 || s.sample > lumber.MaxSample {
		p.Add("lumber.sample_boards", "is %d; must be 0 (%d) to %d", m.GetSampleBoards(), defaultSample, lumber.MaxSample)
	}
	if m.GetSeed() < 0 {
		p.Add("lumber.seed", "is %d; must be 0 or more", m.GetSeed())
	}
	if n := len(m.GetLots()); n > lumber.MaxLots {
		p.Add("lumber.lots", "has %d entries; at most %d are taken", n, lumber.MaxLots)
		return s
	}
	for i, lot := range m.GetLots() {
		path := fmt.Sprintf("lumber.lots[%d]", i)
		p.ID(path+".lot_id", lot.GetLotId())
		out := lumber.Lot{ID: lot.GetLotId(), Price: p.Money(path+".price_per_board_foot", lot.GetPricePerBoardFoot())}
		switch from := lot.GetSource().(type) {
		case *ripwrightv1.Lot_Listed:
			out.From = listed(p, path+".listed", from.Listed)
		case *ripwrightv1.Lot_Tagged:
			out.From = tagged(p, path+".tagged", from.Tagged)
		case *ripwrightv1.Lot_Spread:
			out.From = spread(p, path+".spread", from.Spread)
		default:
			p.Add(path, "has no source; set listed, tagged or spread")
			continue
		}
		s.lots = append(s.lots, out)
	}
	return s
}

// faults of the lumber as the solver sees it; paths stand below the request.
func (s *stock) faults() (l fault.List) {
	l.Within("lumber", lumber.Faults(s.lots))
	return l
}

func listed(p *wire.Parts, path string, m *ripwrightv1.ListedBoards) lumber.Listed {
	if n := len(m.GetBoards()); n > lumber.MaxKinds {
		p.Add(path+".boards", "has %d entries; at most %d are taken", n, lumber.MaxKinds)
		return nil
	}
	out := make(lumber.Listed, len(m.GetBoards()))
	for i, b := range m.GetBoards() {
		count := int64(b.GetCount())
		if count == 0 {
			count = 1
		}
		out[i] = lumber.Kind{Board: p.Board(fmt.Sprintf("%s.boards[%d].board", path, i), b.GetBoard()), Count: count}
	}
	return out
}

func tagged(p *wire.Parts, path string, m *ripwrightv1.PackTag) lumber.Tagged {
	out := lumber.Tagged{Thickness: p.MM(path+".thickness_mm", m.GetThicknessMm())}
	if n := len(m.GetRows()); n > lumber.MaxKinds {
		p.Add(path+".rows", "has %d entries; at most %d are taken", n, lumber.MaxKinds)
		return out
	}
	for i, r := range m.GetRows() {
		row := fmt.Sprintf("%s.rows[%d]", path, i)
		out.Rows = append(out.Rows, lumber.TagRow{
			Width: p.MM(row+".width_mm", r.GetWidthMm()), Length: p.MM(row+".length_mm", r.GetLengthMm()), Count: int64(r.GetCount()),
		})
	}
	return out
}

func spread(p *wire.Parts, path string, m *ripwrightv1.BoardSpread) lumber.Spread {
	out := lumber.Spread{
		Mean:         p.MM(path+".mean_width_mm", m.GetMeanWidthMm()),
		Deviation:    p.MM(path+".width_deviation_mm", m.GetWidthDeviationMm()),
		Least:        p.MM(path+".least_width_mm", m.GetLeastWidthMm()),
		Greatest:     p.MM(path+".greatest_width_mm", m.GetGreatestWidthMm()),
		Crook:        p.MM(path+".crook_mm", m.GetCrookMm()),
		Taper:        p.MM(path+".taper_mm", m.GetTaperMm()),
		Thickness:    p.MM(path+".thickness_mm", m.GetThicknessMm()),
		StraightNear: m.GetNearEdgeStraight(),
	}
	if n := len(m.GetLengths()); n > lumber.MaxKinds {
		p.Add(path+".lengths", "has %d entries; at most %d are taken", n, lumber.MaxKinds)
		return out
	}
	for i, e := range m.GetLengths() {
		out.Lengths = append(out.Lengths, lumber.LengthShare{
			Length: p.MM(fmt.Sprintf("%s.lengths[%d].length_mm", path, i), e.GetLengthMm()), Share: int64(e.GetShare()),
		})
	}
	return out
}

// pieces fits a count into the wire's.
func pieces(n int64) int32 { return int32(min(n, math.MaxInt32)) }
