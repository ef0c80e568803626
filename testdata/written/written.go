// Package written converts the solver's orders, saws and lumber to the service's
// messages, for programs that try or measure it with invented orders.
package written

import (
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Saw converts a saw and its pace. Millimetres hold whole nanometres exactly.
func Saw(s *saw.Saw, p *quote.Pace) *ripwrightv1.Saw {
	travel := func(t *saw.Travel) *ripwrightv1.Travel {
		return &ripwrightv1.Travel{MinMm: t.Min.MM(), MaxMm: t.Max.MM()}
	}
	m := &ripwrightv1.Saw{Name: "invented", KerfMm: proto.Float64(s.Kerf.MM()), StepMm: s.Step.MM(), Fence: travel(&s.Fence),
		MinGapMm: s.Gap.MM(), EdgeTrimMm: proto.Float64(s.Trim.MM()), MinStripWidthMm: s.LeastStrip.MM(),
		FeedMPerMin: known(unit.Length(p.Feed).MM() / 1000), PositioningMmPerS: known(unit.Length(p.Positioning).MM()),
		HandlingS: float64(p.Handling) / float64(time.Second)}
	for i := range s.Blades {
		b := &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: s.Blades[i].At.MM()}}
		if s.Blades[i].Moving {
			b.Mount = &ripwrightv1.Blade_Moving{Moving: travel(&s.Blades[i].Travel)}
		}
		m.Blades = append(m.Blades, b)
	}
	return m
}

// Setting gives where the fence and the blades of a saw stand now.
func Setting(s *saw.Saw) *ripwrightv1.Setting {
	m := &ripwrightv1.Setting{FenceMm: proto.Float64(s.Fence.Current.MM())}
	for i := range s.Blades {
		at := s.Blades[i].At
		if s.Blades[i].Moving {
			at = s.Blades[i].Travel.Current
		}
		m.BladesMm = append(m.BladesMm, at.MM())
	}
	return m
}

// Items converts widths with a requirement in metres or in pieces of a length, and with
// values by area.
func Items(all []order.Item) []*ripwrightv1.Item {
	var out []*ripwrightv1.Item
	for i := range all {
		it := &all[i]
		out = append(out, &ripwrightv1.Item{ItemId: it.ID, Width: &ripwrightv1.Item_WidthMm{WidthMm: it.Min.MM()},
			Value: float64(it.Value) / 1e6, MinLengthMm: it.LeastLength.MM(),
			Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: float64(it.Required) / 1e6}}})
		if it.Measure == order.ByPieces {
			last := out[len(out)-1]
			last.PieceLengthMm = known(it.PieceLength.MM())
			last.Required.Amount = &ripwrightv1.Amount_Pieces{Pieces: int32(it.Required)} // invented orders require few pieces
		}
	}
	return out
}

// Board converts a board.
func Board(id string, b *wood.Board) *ripwrightv1.Board {
	m := &ripwrightv1.Board{BoardId: id, LengthMm: b.Length.MM(), ThicknessMm: known(b.Thickness.MM())}
	for _, s := range b.Stations {
		m.Stations = append(m.Stations, &ripwrightv1.Station{XMm: s.X.MM(), NearMm: s.Near.MM(), FarMm: s.Far.MM()})
	}
	for _, d := range b.Defects {
		m.Defects = append(m.Defects, &ripwrightv1.Defect{FromXMm: d.FromX.MM(), ToXMm: d.ToX.MM(), FromYMm: d.FromY.MM(), ToYMm: d.ToY.MM(), Kind: d.Kind})
	}
	return m
}

// Lumber converts a lot whose boards a spread describes. Its price is in millionths of
// money per board foot.
func Lumber(price int64, s *lumber.Spread) *ripwrightv1.Lumber {
	return Lots([]lumber.Lot{{Price: price, From: *s}})
}

// Lots converts lots of every kind.
func Lots(lots []lumber.Lot) *ripwrightv1.Lumber {
	m := &ripwrightv1.Lumber{}
	for i := range lots {
		lot := &ripwrightv1.Lot{LotId: lots[i].ID, PricePerMbf: known(float64(lots[i].Price) / 1e3)}
		switch from := lots[i].From.(type) {
		case lumber.Spread:
			lot.Source = &ripwrightv1.Lot_Spread{Spread: spread(&from)}
		case lumber.Tagged:
			tag := &ripwrightv1.PackTag{ThicknessMm: known(from.Thickness.MM())}
			for _, r := range from.Rows {
				tag.Rows = append(tag.Rows, &ripwrightv1.TagRow{WidthMm: r.Width.MM(), LengthMm: r.Length.MM(), Count: proto.Int32(int32(r.Count))})
			}
			lot.Source = &ripwrightv1.Lot_Tagged{Tagged: tag}
		case lumber.Listed:
			list := &ripwrightv1.ListedBoards{}
			for k := range from {
				list.Boards = append(list.Boards, &ripwrightv1.CountedBoard{Board: Board("", &from[k].Board), Count: proto.Int32(int32(from[k].Count))})
			}
			lot.Source = &ripwrightv1.Lot_Listed{Listed: list}
		}
		m.Lots = append(m.Lots, lot)
	}
	return m
}

func spread(s *lumber.Spread) *ripwrightv1.BoardSpread {
	m := &ripwrightv1.BoardSpread{MeanWidthMm: s.Mean.MM(), WidthSdMm: s.Deviation.MM(), MinWidthMm: s.Least.MM(),
		MaxWidthMm: s.Greatest.MM(), CrookMm: s.Crook.MM(), TaperMm: s.Taper.MM(), ThicknessMm: known(s.Thickness.MM()), NearEdgeStraight: s.StraightNear}
	for _, l := range s.Lengths {
		m.Lengths = append(m.Lengths, &ripwrightv1.LengthShare{LengthMm: l.Length.MM(), Share: proto.Int32(int32(l.Share))})
	}
	return m
}

// known gives nil for 0, which means not known.
func known(v float64) *float64 {
	if v == 0 {
		return nil
	}
	return &v
}
