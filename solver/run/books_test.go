package run

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// A run that is written and read back is the same, and tampering is found.
func TestWrittenDown(t *testing.T) {
	r := begin(t)
	r.plan(t, board([]Strip{strip("a", 3)}, []Strip{strip("b", 2)}))
	seq := r.plan(t, board([]Strip{strip("b", 3)}))
	if _, _, l := r.Confirm(Confirmation{Sequence: seq}); len(l) > 0 {
		t.Fatal(l)
	}
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	read := func() *Run {
		var back Run
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		return &back
	}
	if back := read(); !reflect.DeepEqual(back, r) || len(back.Faults()) > 0 {
		t.Errorf("%+v\nread back as %+v, %v", r, back, back.Faults())
	}
	for i, spoil := range []func(*Run){
		func(r *Run) { r.Entries[0].Made = -1 },
		func(r *Run) { r.Entries[0], r.Entries[1] = r.Entries[1], r.Entries[0] },
		func(r *Run) { r.Entries[1].Count = 9 },
		func(r *Run) { r.InFlight = 1000 },
		func(r *Run) { r.Held[0].Ways = nil },
		func(r *Run) { r.Held[0].Sequence = 99 },
		func(r *Run) { r.Held[0].Ways[0].Strips[0].Item = "c" },
		func(r *Run) { r.Held[0].Ways[0].Strips[0].Order = "another" },
		func(r *Run) { r.Held[0].Ways[1].Strips[0].Amount = -5 },
		func(r *Run) { r.Held[0].Ways[0].Parts.Edging = -1 },
	} {
		back := read()
		if spoil(back); len(back.Faults()) == 0 {
			t.Errorf("damaged in way %d, but accepted", i)
		}
	}
}

// Areas are summed exactly and rounded down once a board; pieces by strip or by length.
func TestAmounts(t *testing.T) {
	area := Entry{Key: Key{"o", "x"}, Count: order.ByArea, Joint: 2 * unit.Millimetre}
	// 62.0005 mm less 2 mm, 1.234567 m long: 60.0005 mm x 1.234567 m.
	a := Strip{Item: "x", Amount: area.Amount(62_000_500, []unit.Run{1_234_567})}
	if a.Amount != 60_000_500*1_234_567 {
		t.Errorf("area %d", a.Amount)
	}
	// Twice 74074637283.5 um2 is 148149274567, not twice ...283.
	if got := (&Held{Order: "o"}).sumOf([]Strip{a, a}, &area); got != 148_149_274_567 {
		t.Errorf("two strips: %d um2", got)
	}
	pieces := Entry{Count: order.ByPieces}
	if pieces.Amount(1, []unit.Run{m, m}) != 1 || pieces.Amount(1, nil) != 0 {
		t.Error("a strip is one piece")
	}
	pieces.PieceLength = 700 * unit.Millimetre
	if got := pieces.Amount(1, []unit.Run{1_400_000, 699_999, 2_099_999}); got != 4 {
		t.Errorf("%d pieces of 700 mm", got)
	}
}

// Widths for different stacks that are closer than the threshold are listed.
func TestAlike(t *testing.T) {
	mm := unit.Millimetre
	widths := []Width{{50 * mm, 50 * mm, "1"}, {52 * mm, 52 * mm, "2"}, {51 * mm, 51 * mm, "1"}, {53 * mm, 60 * mm, "3"}}
	got := Alike(widths, 2*mm)
	want := []Near{{1, 2, mm}, {1, 3, mm}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if Alike(widths, 0) != nil {
		t.Error("warned without a threshold")
	}
	if got := Alike([]Width{{40 * mm, 60 * mm, "1"}, {50 * mm, 80 * mm, "2"}}, mm); len(got) != 1 || got[0].Apart != -10*mm {
		t.Errorf("ranges that overlap: %v", got)
	}
}

// Sums exceed 64 bits.
func TestSum(t *testing.T) {
	var s Sum
	for range 20 {
		s.AddArea(unit.Area(1<<63 - 1))
	}
	if got, want := s.SquareMetres(), 20*9223.372036854775807; got < want*(1-1e-15) || got > want*(1+1e-15) {
		t.Errorf("%g m2, want %g", got, want)
	}
	var v Sum
	v.AddProduct(int64(unit.SquareMetre), int64(metre))
	if v.CubicMetres() != 1 {
		t.Errorf("%g m3", v.CubicMetres())
	}
}

// Packs beyond the limit share a line, and no board is lost.
func TestPacks(t *testing.T) {
	r := begin(t)
	const boards = MaxPacks + 9
	for i := range boards {
		h := board([]Strip{strip("a", 1)})
		h.Pack = string(rune(0x4e00 + i))
		if _, _, l := r.Confirm(Confirmation{Sequence: r.plan(t, h)}); len(l) > 0 {
			t.Fatal(l)
		}
	}
	var n int32
	for _, p := range r.Totals.Packs {
		n += p.Boards
	}
	if n != boards || len(r.Totals.Packs) != MaxPacks+1 {
		t.Errorf("%d boards in %d packs", n, len(r.Totals.Packs))
	}
}
