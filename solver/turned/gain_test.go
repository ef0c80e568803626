package turned_test

import (
	"os"
	"strconv"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/wood"
)

// What turning boards over gains at no cost, on synthetic rough boards of broad orders:
// little on clear boards, more on boards with defects. No board is worth less for it.
// RIPWRIGHT_TURNED sets the number of boards of each line.
func TestGain(t *testing.T) {
	boards := 6
	if n, err := strconv.Atoi(os.Getenv("RIPWRIGHT_TURNED")); err == nil {
		boards = n
	}
	turns := 0
	for _, arbor := range broad.Arbors(1)[:14] { // those with names
		switch arbor.Name {
		case "FFFFFF", "MFFM", "FMFM", "MMMM":
		default:
			continue
		}
		for _, spoil := range []string{"none", "defects"} {
			plain, worth, over, done := 0.0, 0.0, 0, 0
			for number := 0; done < boards; number++ {
				c := broad.Draw(1, arbor, number, func(f *broad.Features) bool {
					return f.Edges == "rough" && f.Step != "0.01" && f.Spoil == spoil
				})
				if c == nil {
					continue
				}
				done++
				solve := func(turns ...saw.Turning) *rip.Result {
					c.Problem.Saw.Turns = turns
					r, err := turned.Solve(c.Problem, paced.Terms{}, rip.Options{Work: 3_000_000})
					if err != nil {
						t.Fatal(err)
					}
					return r
				}
				as, may := solve(), solve(saw.Turning{Turn: wood.EdgeOverEdge})
				if may.Best.Worth.Cmp(as.Best.Worth) < 0 {
					t.Errorf("%s: worth %v, %v where it may be turned", c.Name(), as.Best.Worth, may.Best.Worth)
				}
				if as.Best.Worth.IsZero() {
					continue
				}
				plain++
				worth += may.Best.Worth.Money() / as.Best.Worth.Money()
				if may.Best.Turn != wood.AsScanned {
					over++
				}
			}
			turns += over
			t.Logf("%s, %d rough boards, defects: %s; worth %.2f %% more on average, %d turned", arbor.Name, done, spoil, 100*(worth/plain-1), over)
		}
	}
	if turns == 0 {
		t.Error("no board was turned")
	}
}
