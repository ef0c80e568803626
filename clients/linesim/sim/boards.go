// Package sim simulates a scanner and a saw controller on a live line. Boards, their
// outcomes and the breaks of the line are drawn from a seed. It keeps separate books to
// check those of the service.
package sim

import (
	"fmt"
	"math"
	"math/rand/v2"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Board gives the n-th board of a seed: 1.2 to 4.8 m long, 120 to 320 mm wide at
// mid-length, with crook, taper, wane towards an end and scanner noise.
func Board(seed uint64, n int) *ripwrightv1.Board {
	r := rand.New(rand.NewPCG(seed, uint64(n)))
	length := math.Round(1200 + 3600*r.Float64())
	width := 120 + 200*r.Float64()
	crook := 12 * r.Float64()                   // at the middle
	taper := 0.06 * width * (r.Float64() - 0.3) // from end to end
	wane := 0.15 * width * r.Float64()          // at the far edge of one end
	waneEnd := 300 + 600*r.Float64()
	const apart = 150
	stations := int(length/apart) + 2
	near, far := make([]float64, stations), make([]float64, stations)
	least := math.Inf(1)
	for i := range stations {
		t := float64(i) / float64(stations-1)
		bow := crook * (1 - 4*(t-0.5)*(t-0.5)) // 0 at the ends
		near[i] = bow + 0.3*r.NormFloat64()
		far[i] = bow + width - taper*t + 0.3*r.NormFloat64()
		if x := t * length; x < waneEnd {
			far[i] -= wane * (1 - x/waneEnd)
		}
		least = min(least, near[i])
	}
	b := &ripwrightv1.Board{BoardId: fmt.Sprintf("%d-%d", seed, n), PackId: fmt.Sprintf("pack-%d", n/40),
		LengthMm: length, ThicknessMm: proto.Float64(26)}
	for i := range stations {
		x := math.Round(float64(i) / float64(stations-1) * length)
		b.Stations = append(b.Stations, &ripwrightv1.Station{XMm: x, NearMm: tenths(near[i] - least), FarMm: tenths(far[i] - least)})
	}
	if n%23 == 22 { // longer than any saw here takes: the service must refuse it
		b.LengthMm = 15_000
	}
	return b
}

// tenths rounds to a tenth of a millimetre, as scanners do.
func tenths(mm float64) float64 { return math.Round(mm*10) / 10 }

// SetUpOfOrders is SetUp with three successive orders: items of the same names, but
// fewer.
func SetUpOfOrders(runID string) *ripwrightv1.LineSetUp {
	m := SetUp(runID)
	for i := range 3 {
		o := proto.CloneOf(m.GetOrder())
		o.OrderId = fmt.Sprint("sim-", i+1)
		if i < 2 { // an item without a requirement is never full
			o.Items = o.Items[:len(o.Items)-1]
		}
		for k, it := range o.GetItems() {
			switch is := it.GetRequired().GetAmount().(type) {
			case *ripwrightv1.Amount_LengthM:
				is.LengthM = float64(10 + 10*((i+k)%3))
			case *ripwrightv1.Amount_Pieces:
				is.Pieces = 15
			}
		}
		m.NextOrders = append(m.NextOrders, o)
	}
	m.Order, m.NextOrders = m.NextOrders[0], m.NextOrders[1:]
	return m
}

// SetUp is the invented line that is simulated by default.
func SetUp(runID string) *ripwrightv1.LineSetUp {
	travel := func(lo, hi float64) *ripwrightv1.Travel { return &ripwrightv1.Travel{MinMm: lo, MaxMm: hi} }
	fixed := func(at float64) *ripwrightv1.Blade {
		return &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: at}}
	}
	moving := func(lo, hi float64) *ripwrightv1.Blade {
		return &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_Moving{Moving: travel(lo, hi)}}
	}
	metres := func(m float64) *ripwrightv1.Amount {
		return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: m}}
	}
	item := func(id string, width, value, required float64, stack string) *ripwrightv1.Item {
		return &ripwrightv1.Item{ItemId: id, Width: &ripwrightv1.Item_WidthMm{WidthMm: width}, Value: value,
			Required: metres(required), MinLengthMm: 400, Stack: stack}
	}
	pieces := item("slat", 38, 9, 0, "3")
	pieces.Required = &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_Pieces{Pieces: 300}}
	pieces.PieceLengthMm = proto.Float64(450)
	return &ripwrightv1.LineSetUp{
		RunId: runID, BoardsInFlight: proto.Int32(8), StackThresholdMm: proto.Float64(3),
		Options: &ripwrightv1.SolveOptions{RunnersUp: 1,
			Detail: &ripwrightv1.AnswerDetail{Fills: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL, Values: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL}},
		SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: &ripwrightv1.Saw{Name: "sim", KerfMm: proto.Float64(3.6), StepMm: 0.5,
			Fence: travel(40, 290), Blades: []*ripwrightv1.Blade{fixed(150), fixed(220), moving(260, 420), moving(310, 560)},
			MinGapMm: 30, EdgeTrimMm: proto.Float64(3), MinStripWidthMm: 25,
			Limits: &ripwrightv1.SawLimits{MinLengthMm: proto.Float64(600), MaxLengthMm: proto.Float64(6200),
				MinWidthMm: proto.Float64(60), MaxWidthMm: proto.Float64(610)},
			FeedMPerMin: proto.Float64(36), PositioningMmPerS: proto.Float64(250), HandlingS: 0.8, PositioningOverlapsHandling: true}},
		CurrentSetting: &ripwrightv1.Setting{FenceMm: proto.Float64(120), BladesMm: []float64{150, 220, 300, 400}},
		Order: &ripwrightv1.CutOrder{OrderId: "sim-1", Items: []*ripwrightv1.Item{
			item("stile", 66, 14, 400, "1"), item("rail", 50, 11, 300, "2"), item("lip", 52, 10, 250, "4"), pieces,
			{ItemId: "panel", Width: &ripwrightv1.Item_Range{Range: &ripwrightv1.WidthRange{MinMm: 40, MaxMm: 90}}, Value: 8, Stack: "5",
				Panel: &ripwrightv1.Panel{WidthMm: 600, JointAllowanceMm: 1.5}},
		}},
	}
}
