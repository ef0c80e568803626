package orders

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/lumber"
)

// Of 400 cuts 86 to 94 % may lie inside; of few nearly any number may. Summed from the
// other side, the binomial distribution is the regularised incomplete beta function,
// which distuv has from a published algorithm (Cephes).
func TestChance(t *testing.T) {
	if lo, hi := least(400, tail), greatest(400, tail); lo != 344 || hi != 375 {
		t.Errorf("%d to %d of 400 inside, want 344 to 375", lo, hi)
	}
	for _, n := range []int{1, 20, 100, 400} {
		d := distuv.Binomial{N: float64(n), P: level}
		lo, hi := least(n, tail), greatest(n, tail)
		if below, next := d.CDF(float64(lo-1)), d.CDF(float64(lo)); lo > 0 && below > tail || next <= tail {
			t.Errorf("of %d at least %d inside: P(fewer) %v, P(as many or fewer) %v", n, lo, below, next)
		}
		if above, next := 1-d.CDF(float64(hi)), 1-d.CDF(float64(hi-1)); above > tail || next <= tail {
			t.Errorf("of %d at most %d inside: P(more) %v, P(as many or more) %v", n, hi, above, next)
		}
	}
}

// made are quotes, with the given numbers of cuts below, inside, at the upper end and
// above.
func made(below, inside, end, above int) (out []*kept) {
	add := func(n int, v float64) {
		for range n {
			k := &kept{}
			for range measures {
				k.quoted = append(k.quoted, &ripwrightv1.Estimate{Mean: 100, Lower: 90, Upper: 110})
				k.cut = append(k.cut, v)
			}
			out = append(out, k)
		}
	}
	add(below, 89)
	add(inside/2, 99)
	add(inside-inside/2, 101)
	add(end, 110)
	add(above, 111)
	return out
}

func TestCovered(t *testing.T) {
	for name, c := range map[string]struct {
		rows  [][]*kept
		holds bool
		says  string
	}{
		"holds":                 {[][]*kept{made(20, 360, 0, 20)}, true, "360, 90.0 %"},
		"too few inside":        {[][]*kept{made(30, 340, 0, 30)}, false, "fails"},
		"too many inside":       {[][]*kept{made(10, 380, 0, 10)}, false, "fails"},
		"many at an end":        {[][]*kept{made(9, 366, 14, 11)}, false, "| 380, 95.0 % | 14 |"}, // and 0.4 % dearer, see below
		"few cuts":              {[][]*kept{made(1, 3, 0, 1)}, true, "holds"},
		"quoted too high":       {[][]*kept{made(40, 360, 0, 0)}, false, "-1.10 %"},
		"one kind never inside": {[][]*kept{made(5, 375, 0, 2), made(9, 0, 0, 9)}, false, "fewer inside than chance explains:\n2. "},
	} {
		var b strings.Builder
		tab := covered{out: &b}
		tab.head()
		for i, r := range c.rows {
			tab.row(i+1, r)
		}
		if holds := tab.end(); holds != c.holds || !strings.Contains(b.String(), c.says) {
			t.Errorf("%s: %v\n%s", name, holds, b.String())
		}
	}
	// A cut at an end of an interval does not count against it.
	var b strings.Builder
	tab := covered{out: &b}
	tab.row(1, made(10, 365, 14, 11))
	for _, k := range tab.all {
		for i := range k.quoted {
			k.quoted[i].Mean = 100.3
		}
	}
	if !tab.end() {
		t.Error(b.String())
	}
}

// The kinds differ as their names say, and the same seed draws the same.
func TestKinds(t *testing.T) {
	if len(kinds) != 20 {
		t.Errorf("%d kinds, want 20", len(kinds))
	}
	for i := range kinds {
		k := &kinds[i]
		s, o, lots := k.draw(5)
		s2, o2, _ := k.draw(5)
		_, o3, _ := k.draw(6)
		if o.String() != o2.String() || s.String() != s2.String() || o.String() == o3.String() {
			t.Errorf("%s: one seed draws two orders, or two seeds draw the same", k.name)
		}
		area := 0.0
		for _, it := range o.GetItems() {
			w := it.GetWidthMm()
			if r := it.GetRange(); r != nil {
				w = r.GetMinMm()
			}
			a := it.GetRequired()
			area += a.GetAreaM2() + w/1000*a.GetLengthM()
			if p := it.GetPieceLengthMm(); p > 0 {
				area += w / 1000 * p / 1000 * float64(a.GetPieces())
			} else {
				area += w / 1000 * 2.8 * float64(a.GetPieces())
			}
			for _, l := range it.GetCrosscut().GetLengths() {
				area += w / 1000 * l.GetLengthMm() / 1000 * float64(l.GetRequired())
			}
		}
		face := 0.0
		for _, lot := range lots {
			for _, b := range lot.Sample(100, 1) {
				face += b.Board.Face().SquareMetres() / float64(len(lots)*len(lot.Sample(100, 1)))
			}
		}
		if boards := area / usable / face; math.Abs(boards/float64(k.boards)-1) > 0.5 {
			t.Errorf("%s takes %.0f boards, want about %d", k.name, boards, k.boards)
		}
	}
}

// Cuts whose boards were smaller take more boards: the excess over the quote that this
// explains is luck, the rest is not. The line through the cuts was worked out by hand.
func TestLuckTakenOff(t *testing.T) {
	all := made(0, 400, 0, 0)
	for i, k := range all {
		k.luck = []float64{-0.02, 0.01, 0.03, 0.02}[i%4] // 0.01 on average
		for m := range k.cut {
			k.cut[m] = 100.1 - 80*k.luck
			if i%10 == 0 { // as many lie outside as should
				k.quoted[m].Lower = 105
			}
		}
	}
	h := sumUp(all, 0)
	if mean := stat.Mean(h.off, nil); math.Abs(mean+0.007) > 1e-9 || math.Abs(h.fair-0.001) > 1e-9 || h.standardError > 1e-6 {
		t.Errorf("mean %v, adjusted for luck %v, standard error %v", mean, h.fair, h.standardError)
	}
	var b strings.Builder
	tab := covered{out: &b}
	tab.row(1, all)
	if !tab.end() || !strings.Contains(b.String(), "| -0.70 % | +0.10 % (0.00 %) |") {
		t.Errorf("\n%s", b.String())
	}
}

// The luck of a cut is that of the boards that it was cut from.
func TestLuckOfACut(t *testing.T) {
	k, sum := &kinds[0], 0.0
	const seeds, boards = 200, 50
	for seed := range uint64(seeds) {
		of := made(0, 1, 0, 0)[0]
		of.boards = boards
		_, _, lots := k.draw(seed)
		next, face := drawer(lots, []float64{1}, lumber.Random(seed, ofBoards)), 0.0
		for i := range boards {
			_, fee, _ := next(i) // as the line pays for it
			face += fee
		}
		b := lots[0].From.Draw(lumber.Random(seed, ofBoards))
		each := lumber.BoardFeet(&b) * float64(lots[0].Price) / 1e6 / b.Face().SquareMetres()
		luck := k.luck(seed, of)
		if want := (face/each/lots[0].From.MeanFace() - boards) / 100; math.Abs(luck-want) > 1e-9 {
			t.Fatalf("seed %d: luck %v, want %v by the boards' price", seed, luck, want)
		}
		sum += luck
	}
	// About fifty boards are roughly 3 % larger or smaller than usual, and on average by
	// no more than that over the root of 200.
	if mean := sum / seeds; math.Abs(mean) > 0.005 {
		t.Errorf("boards of all cuts are larger than average by the fraction %v", mean)
	}
}
