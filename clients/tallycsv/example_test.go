package tallycsv_test

import (
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/clients/tallycsv"
)

// A pack as a spreadsheet saves it: the supplier's total, and two boards as measured.
func ExampleRead() {
	sheet, err := tallycsv.Read(strings.NewReader(`pack_id,row,species,nominal_thickness_in,width_in,length_ft,board_feet
M-17,total,hard maple,4/4,,,21
M-17,board,,,8 1/4,12,
M-17,board,,,9,16 1/2,
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range sheet.Packs {
		fmt.Println(p.GetPackId(), p.GetSpecies(), len(p.GetBoards()), "boards, tallied", p.GetTally().GetBoardFeet())
	}
	_, err = tallycsv.Read(strings.NewReader("pack_id,row,species,nominal_thickness_in,width_in\nM-17,board,hard maple,4/4,wide\n"))
	fmt.Println(err)
	// Output:
	// M-17 hard maple 2 boards, tallied 21
	// row 2, column length_ft: is missing; a board row needs it
}
