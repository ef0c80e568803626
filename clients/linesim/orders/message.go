package orders

import (
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// message writes a saw as the service is told of it. Millimetres hold whole
// nanometres exactly.
func message(s *saw.Saw, p *quote.Pace) *ripwrightv1.Saw {
	travel := func(t *saw.Travel) *ripwrightv1.Travel {
		return &ripwrightv1.Travel{MinMm: t.Min.MM(), MaxMm: t.Max.MM(), CurrentMm: proto.Float64(t.Current.MM())}
	}
	m := &ripwrightv1.Saw{Name: "invented", KerfMm: s.Kerf.MM(), StepMm: s.Step.MM(), Fence: travel(&s.Fence),
		SmallestGapMm: s.Gap.MM(), EdgeTrimMm: proto.Float64(s.Trim.MM()), LeastStripWidthMm: s.LeastStrip.MM(),
		FeedMPerMin: unit.Length(p.Feed).MM() / 1000, PositioningMmPerS: unit.Length(p.Positioning).MM(),
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

// items writes widths of which so many metres are wanted, with values by area.
func items(all []order.Item) []*ripwrightv1.Item {
	var out []*ripwrightv1.Item
	for i := range all {
		it := &all[i]
		out = append(out, &ripwrightv1.Item{ItemId: it.ID, Width: &ripwrightv1.Item_WidthMm{WidthMm: it.Min.MM()},
			Value: float64(it.Value) / 1e6, LeastLengthMm: it.LeastLength.MM(),
			Required: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: float64(it.Required) / 1e6}}})
	}
	return out
}

func board(id string, b *wood.Board) *ripwrightv1.Board {
	m := &ripwrightv1.Board{BoardId: id, LengthMm: b.Length.MM(), ThicknessMm: b.Thickness.MM()}
	for _, s := range b.Stations {
		m.Stations = append(m.Stations, &ripwrightv1.Station{XMm: s.X.MM(), NearMm: s.Near.MM(), FarMm: s.Far.MM()})
	}
	return m
}
