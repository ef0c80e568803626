package tally

import (
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// BenchmarkTallyPack is the whole call, without the transport, for a pack of 5,000
// boards. The target is well under 100 ms.
func BenchmarkTallyPack(b *testing.B) {
	p := &ripwrightv1.Pack{PackId: "p", Species: "white ash", NominalThicknessIn: 1, MinWidthMm: proto.Float64(100),
		Tally: &ripwrightv1.SupplierTally{Form: &ripwrightv1.SupplierTally_BoardFeet{BoardFeet: 30000}}}
	for i := range 5000 {
		p.Boards = append(p.Boards, &ripwrightv1.TallyBoard{Consumed: i%3 == 0, Size: &ripwrightv1.TallyBoard_Metric{Metric: &ripwrightv1.MetricSize{
			WidthMm: 90 + float64(i*7919%2000)/10, LengthMm: 2450 + float64(i*6131%2400), ThicknessMm: proto.Float64(25 + float64(i%20)/10)}}})
	}
	m := &ripwrightv1.TallyPackRequest{Packs: []*ripwrightv1.Pack{p}}
	s := made(1)
	for b.Loop() {
		if _, err := s.TallyPack(b.Context(), m); err != nil {
			b.Fatal(err)
		}
	}
}
