package trial

import (
	"fmt"
	"math"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// hard is a board whose search does not end in the time that a test gives it, though it
// takes little to prepare: wide and wany, items with caps that bind, many moving blades
// and runners-up to prove.
func hard() *ripwrightv1.SolveBoardRequest {
	const stations, items, step = 8, 10, 0.5
	m := &ripwrightv1.SolveBoardRequest{
		Board:   &ripwrightv1.Board{BoardId: "zq7-hard", LengthMm: 4000},
		Order:   &ripwrightv1.CutOrder{},
		Options: &ripwrightv1.SolveOptions{RunnersUp: 20},
	}
	for i := range stations {
		x := 200 * float64(i) / float64(stations)
		m.Board.Stations = append(m.Board.Stations, &ripwrightv1.Station{XMm: 20 * x,
			NearMm: 12 * (1 + math.Sin(x/9)), FarMm: 585 + 14*math.Sin(x/13) - x/10})
	}
	for i := range items {
		m.Order.Items = append(m.Order.Items, &ripwrightv1.Item{
			ItemId:      fmt.Sprintf("zq7-%d", i),
			Width:       &ripwrightv1.Item_WidthMm{WidthMm: 31.3 + 3.7*float64(i)},
			Value:       20 + math.Mod(7.3*float64(i), 5),
			MinLengthMm: 300 + 40*float64(i%7),
			Required:    &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: 5 + float64(i%3)}},
		})
	}
	saw := &ripwrightv1.Saw{KerfMm: proto.Float64(3.6), StepMm: step, MinGapMm: 28, MinStripWidthMm: 28,
		Fence: &ripwrightv1.Travel{MaxMm: 250}}
	for i := range 8 {
		at := 120 * float64(i)
		saw.Blades = append(saw.Blades, &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_Moving{
			Moving: &ripwrightv1.Travel{MinMm: at, MaxMm: at + 260}}})
	}
	m.SawChoice = &ripwrightv1.SolveBoardRequest_Saw{Saw: saw}
	m.CurrentSetting = &ripwrightv1.Setting{}
	for i := range saw.GetBlades() {
		m.CurrentSetting.BladesMm = append(m.CurrentSetting.BladesMm, 120*float64(i)+40)
	}
	return m
}
