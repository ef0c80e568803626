package audit_test

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Results of the search over turns hold, and so do settings that others turned. A plan
// with a wrong turn is found out, and so is one that turns the board if that was not
// asked for.
func TestTurned(t *testing.T) {
	ways := []wood.Turn{wood.EndForEnd, wood.EdgeOverEdge, wood.EndOverEnd}
	done, turns, lied, found := 0, 0, 0, 0
	for seed := int64(1); done < instances(400) && !t.Failed(); seed++ {
		p := drawn(seed)
		r := rand.New(rand.NewPCG(uint64(seed), 9))
		for _, way := range ways {
			if r.IntN(4) > 0 {
				p.Saw.Turns = append(p.Saw.Turns, saw.Turning{Turn: way, Cost: r.Int64N(3) * r.Int64N(20_000)})
			}
		}
		_, plain := solved(t, seed, p)
		at := terms(seed, plain.Best.Worth)
		at.Turns = true
		a, err := turned.Solve(p, paced.Terms{Pace: at.Pace, Price: at.Price}, rip.Options{RunnersUp: int(seed % 4)})
		if err != nil {
			t.Fatal(err)
		}
		done++
		for _, d := range audit.Result(p, at, a) {
			t.Errorf("seed %d: %v", seed, d)
		}
		c, err := turned.Check(p, ways[r.IntN(3)], a.Best.Skew, a.Best.Fence, a.Best.Blades, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range append(audit.Checked(p, at, c, a), audit.Given(p, c)...) {
			t.Errorf("seed %d, %s, broken %v: %v", seed, c.Plan.Turn, c.Broken, d)
		}
		if a.Best.Turn == wood.AsScanned {
			continue
		}
		turns++
		unasked := at
		unasked.Turns = false
		if d := audit.Result(p, unasked, a); len(d) == 0 || d[0].Kind != audit.Setting {
			t.Errorf("seed %d: turned unasked: %v", seed, d)
		}
		was := a.Best.Turn
		a.Best.Turn = wood.AsScanned
		if lied++; len(audit.Result(p, at, a)) > 0 {
			found++
		}
		a.Best.Turn = was
		p.Saw.Turns = nil
		if d := audit.Result(p, at, a); len(d) == 0 || d[0].Kind != audit.Setting {
			t.Errorf("seed %d: turned in a way that the saw does not allow: %v", seed, d)
		}
	}
	if turns < done/20 || found*10 < lied*9 { // few boards are the same from both sides
		t.Errorf("of %d boards %d were turned; of %d false turns %d were found", done, turns, lied, found)
	}
}

// Worked by hand: a board of 2400 x 200 mm, its edges level, turned end for end and set
// at 5 mm per m, which lifts the trailing end by 12 mm. A kerf of 4 mm at 30 mm lies on
// the turned board at 30 mm and 18 mm, so on the board as scanned at 200 - 30 - 4 = 166
// mm from the original near edge, at the end that trailed in the scan, and at 178 mm at
// the one that led.
func TestScanned(t *testing.T) {
	const mm = unit.Millimetre
	b := wood.Board{Length: 2400 * mm, Stations: []wood.Station{{Far: 200 * mm}}}
	for _, c := range []struct {
		turn       wood.Turn
		skew       unit.Length
		start, end unit.Length
	}{
		{wood.AsScanned, 0, 30, 30},
		{wood.AsScanned, 5 * mm, 30, 18},
		{wood.EndForEnd, 0, 166, 166},
		{wood.EndForEnd, 5 * mm, 178, 166},
		{wood.EdgeOverEdge, 5 * mm, 166, 178},
		{wood.EndOverEnd, 5 * mm, 18, 30},
	} {
		start, end := audit.Scanned(&b, c.turn, c.skew, 30*mm, 4*mm)
		if start != c.start*mm || end != c.end*mm {
			t.Errorf("%s at a skew of %v mm: %v and %v mm, want %d and %d", c.turn, c.skew.MM(), start.MM(), end.MM(), c.start, c.end)
		}
	}
}
