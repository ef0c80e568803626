package order

import (
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/unit"
)

// One strip by each way of counting, worked by hand: 60 mm wide, runs of 1.9 m and
// 0.55 m.
func TestStrip(t *testing.T) {
	const mm = unit.Millimetre
	runs := []unit.Run{1_900_000, 550_000}
	for _, c := range []struct {
		name string
		it   Item
		want int64
	}{
		{"a width by itself: by length", Item{Min: 60 * mm, Max: 60 * mm}, 2_450_000},
		{"a range by itself: by area, after the joints", Item{Random: true, Joint: 4 * mm}, 56_000_000 * 2_450_000},
		{"by length", Item{Measure: ByLength}, 2_450_000},
		{"by area", Item{Random: true, Measure: ByArea}, 60_000_000 * 2_450_000},
		{"narrower than its joint", Item{Random: true, Measure: ByArea, Joint: 61 * mm}, 0},
		{"strips", Item{Measure: ByPieces}, 1},
		{"pieces of 500 mm: 3 and 1", Item{Measure: ByPieces, PieceLength: 500 * mm}, 4},
		{"pieces of 551 mm: 3 and none", Item{Measure: ByPieces, PieceLength: 551 * mm}, 3},
	} {
		if got := c.it.Counting().Strip(60*mm, runs...); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
	if got := (&Item{Measure: ByPieces}).Counting().Strip(60 * mm); got != 0 {
		t.Errorf("a strip without a counted run is %d pieces", got)
	}
}

// Width inverts Amount by area: that width counts for the amount, and the next narrower
// one does not. A strip 60 mm wide, joints of 4 mm, comes to 0.1372 m2 over 2.45 m.
func TestWidth(t *testing.T) {
	const mm = unit.Millimetre
	c := Counting{Measure: ByArea, Joint: 4 * mm}
	const hand = int64(56_000_000) * 2_450_000
	for _, amount := range []int64{1, hand - 1, hand, hand + 1} {
		w := c.Width(amount, 2_450_000)
		if c.Amount(w, 2_450_000, 0) < amount || c.Amount(w-1, 2_450_000, 0) >= amount {
			t.Errorf("amount %d: width %d", amount, w)
		}
	}
	if got := c.Width(hand, 2_450_000); got != 60*mm {
		t.Errorf("%v mm, want 60", got.MM())
	}
}

// 2.45 m of a strip 60.4 mm wide at 4 a square metre, metre or strip.
func TestWorth(t *testing.T) {
	const mm = unit.Millimetre
	fixed := Item{Min: 60 * mm, Max: 60 * mm, Value: 4_000_000}
	in := func(b Basis, it Item) *Item { it.Basis = b; return &it }
	width := 60*mm + 400*unit.Micrometre
	for _, c := range []struct {
		name string
		it   *Item
		want float64
	}{
		{"a width is paid by its own", in(PerArea, fixed), 0.06 * 2.45 * 4},
		{"a range by the strip's", in(PerArea, Item{Random: true, Value: 4_000_000}), 0.0604 * 2.45 * 4},
		{"by length", in(PerLength, fixed), 2.45 * 4},
		{"by strip", in(PerPiece, fixed), 4},
	} {
		if got := c.it.Worth(width, 2_450_000).Money(); got < c.want-1e-9 || got > c.want+1e-9 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// An item whose value is counted per nothing known is refused.
func TestUnknownBasis(t *testing.T) {
	const mm = unit.Millimetre
	for b := Basis(-1); int(b) <= Bases; b++ {
		it := Item{Min: 60 * mm, Max: 60 * mm, Value: 4_000_000, Basis: b}
		refused := slices.ContainsFunc(it.Faults(), func(f fault.Fault) bool { return f.Path == "value_per" })
		if want := b < PerArea || b > PerPiece; refused != want {
			t.Errorf("basis %d: refused %v, want %v", b, refused, want)
		}
	}
}
