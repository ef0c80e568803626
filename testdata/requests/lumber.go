package requests

import (
	"fmt"
	"math/rand/v2"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// lumber draws lots of all kinds.
func (g *Genes) lumber() *ripwrightv1.Lumber {
	l := &ripwrightv1.Lumber{SampleBoards: given(int32(g.one(0, 10, 2000))), Seed: 1}
	lots := g.Count(1, 32)
	left := 3_000_000 / lots // bytes, for what is listed
	for i := range lots {
		lot := &ripwrightv1.Lot{LotId: fmt.Sprint("l", i), PricePerMbf: proto.Float64(4)}
		switch r := g.Stream(); int(g.one(0, 1, 2)) {
		case 0:
			stations := g.Count(1, mostStations)
			boards := &ripwrightv1.ListedBoards{}
			for range max(min(left/(29*stations+20), 2000), 1) {
				boards.Boards = append(boards.Boards, &ripwrightv1.CountedBoard{Board: edge(r, stations), Count: proto.Int32(1 + int32(r.IntN(9)))})
			}
			lot.Source = &ripwrightv1.Lot_Listed{Listed: boards}
		case 1:
			tag := &ripwrightv1.PackTag{ThicknessMm: proto.Float64(26)}
			for range g.Count(1, 2000) {
				tag.Rows = append(tag.Rows, &ripwrightv1.TagRow{WidthMm: 100 + grid(800*r.Float64(), 1), LengthMm: 1000 + grid(9000*r.Float64(), 1), Count: proto.Int32(1 + int32(r.IntN(500)))})
			}
			lot.Source = &ripwrightv1.Lot_Tagged{Tagged: tag}
		default:
			s := &ripwrightv1.BoardSpread{MeanWidthMm: 250, WidthSdMm: 120, MinWidthMm: 90, MaxWidthMm: 900, CrookMm: 20, TaperMm: 20, ThicknessMm: proto.Float64(26)}
			for range g.Count(1, 2000) {
				s.Lengths = append(s.Lengths, &ripwrightv1.LengthShare{LengthMm: 1000 + grid(9000*r.Float64(), 1), Share: proto.Int32(1 + int32(r.IntN(9)))})
			}
			lot.Source = &ripwrightv1.Lot_Spread{Spread: s}
		}
		l.Lots = append(l.Lots, lot)
	}
	return l
}

// edge is a board with rough edges and that many stations.
func edge(r *rand.Rand, stations int) *ripwrightv1.Board {
	b := &ripwrightv1.Board{LengthMm: 2000 + grid(3000*r.Float64(), 1), ThicknessMm: proto.Float64(26)}
	width := 100 + 300*r.Float64()
	for i := range stations {
		s := &ripwrightv1.Station{NearMm: grid(5*r.Float64(), 0.01), FarMm: grid(width+5*r.Float64(), 0.01)}
		if stations > 1 {
			s.XMm = b.GetLengthMm() * float64(i) / float64(stations-1)
		}
		b.Stations = append(b.Stations, s)
	}
	return b
}
