package tally_test

import (
	"context"
	"fmt"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/tally"
	"github.com/ripwright/ripwright/server/workers"
)

// Ten boards 6 in wide and 8 ft long have 4 ft² each: at 4/4 the pack has 40 board feet,
// 2 fewer than its supplier states.
func ExampleService_TallyPack() {
	s := tally.New(workers.New(workers.Config{Workers: 1, Waiting: 1}, workers.Unwatched{}, time.Now), "")
	board := &ripwrightv1.TallyBoard{Size: &ripwrightv1.TallyBoard_Inches{Inches: &ripwrightv1.InchSize{WidthIn: 6, LengthFt: 8}}, Pieces: proto.Int32(10)}
	answer, err := s.TallyPack(context.Background(), &ripwrightv1.TallyPackRequest{Packs: []*ripwrightv1.Pack{{
		PackId: "7", Species: "white ash", NominalThicknessIn: 1, Boards: []*ripwrightv1.TallyBoard{board},
		Tally: &ripwrightv1.SupplierTally{Form: &ripwrightv1.SupplierTally_BoardFeet{BoardFeet: 42}},
	}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	p := answer.GetPacks()[0]
	fmt.Println(p.GetMeasuredBoardFeet(), p.GetComparison().GetDifferenceBoardFeet())
	// Output: 40 -2
}
