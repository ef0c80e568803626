package command

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
)

// An invented pack, the one in the guide to tallies.
const pack = `pack_id,row,supplier,species,grade,nominal_thickness_in,price_per_mbf,width_in,length_ft,thickness_in,pieces,surface_ft2,board_id,consumed,min_width_mm
P-17,surface,Fenmoor,white ash,FAS,4/4,2150,,,,2,5,,,152.4
P-17,surface,,,,,,,,,2,8,,,
P-17,board,,,,,,6 1/4,8.25,31/32,,,b1,yes,
P-17,board,,,,,,8,12.1,,2,,b2,,
P-17,board,,,,,,5 1/2,9.9,,,,b3,,
`

func TestTally(t *testing.T) {
	b := open(t)
	out, _ := b.pipe(t, 0, pack, "tally", "-")
	// 4 + 8 + 8 + 4 square feet by surface measure against the tally's 26.
	for _, want := range []string{"P-17", "Fenmoor", "24.0", "26.0", "-2.0", "lacks", "20.0", "1 board beyond the limits", "By surface measure, net."} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	for table, column := range map[string]string{"packs": "verdict", "groups": "species", "suppliers": "mean_percent", "findings": "board_id"} {
		out, _ = b.pipe(t, 0, pack, "tally", "--csv", "--table", table, "-")
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if err != nil || len(rows) < 1 || !strings.Contains(strings.Join(rows[0], ","), column) {
			t.Errorf("%s: %v\n%s", table, err, out)
		}
	}
	// 2 and 20 board feet at 2,150 per thousand.
	out, _ = b.pipe(t, 0, pack, "tally", "--currency", "CAD", "-")
	for _, want := range []string{"in money", "at least", "-4.30 CAD", "43.00 CAD"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	// The bounds in money are those in board feet, at 2.15 per board foot.
	var least, most float64
	out, _ = b.pipe(t, 0, pack, "tally", "--currency", "CAD", "--rule", "exact volume", "-")
	accounts, _ := b.pipe(t, 0, pack, "tally", "--csv", "--rule", "exact volume", "-")
	if _, err := fmt.Sscan(column(t, accounts, "min_bf")[0]+" "+column(t, accounts, "max_bf")[0], &least, &most); err != nil || least >= most {
		t.Fatalf("between %v and %v: %v", least, most, err)
	}
	for _, bound := range []float64{least, most} {
		if want := fmt.Sprintf("%+.2f CAD", (bound-26)*2.15); !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	out, _ = b.pipe(t, 0, pack, "tally", "--csv", "--currency", "CAD", "-")
	if got := column(t, out, "currency"); got[0] != "CAD" {
		t.Errorf("%q", got)
	}
	if out, _ = b.pipe(t, 0, strings.Replace(pack, "2150", "", 1), "tally", "-"); strings.Contains(out, "money") {
		t.Errorf("without a price:\n%s", out)
	}
	b.pipe(t, statusInput, pack, "tally", "--currency", "nine chars", "-")
	if out, _ = b.pipe(t, 0, pack, "tally", "--rule", "end tally", "-"); !strings.Contains(out, "24.5") {
		t.Errorf("by end tally:\n%s", out)
	}
}

// Mistakes are named by row and column, and nothing of the file is used.
func TestTallyMistakes(t *testing.T) {
	b := open(t)
	for text, says := range map[string]string{
		strings.Replace(pack, "8.25", "-8", 1):        "row 4, column length_ft",
		strings.Replace(pack, "white ash", "wite", 1): "row 2, column species",
		strings.Replace(pack, ",row,", ",rwo,", 1):    "rwo",
		"": "the file is empty",
	} {
		if _, errs := b.pipe(t, statusInput, text, "tally", "-"); !strings.Contains(errs, says) {
			t.Errorf("%q is missing in\n%s", says, errs)
		}
	}
	for _, args := range [][]string{{"tally"}, {"tally", "--rule", "by eye", "-"}, {"tally", "--table", "boards", "-"}} {
		b.pipe(t, statusUsage, pack, args...)
	}
	b.run(t, statusInput, "tally", "MILL/none.csv")
}
