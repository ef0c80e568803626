package run

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

const mm = unit.Millimetre

// sized is a board of 3 m by 260 mm, planned with pockets of 66 and 50 mm for a and b and
// one of 40 mm without an item, on a saw with a kerf of 4 mm.
func sized() Held {
	a, b := strip("a", 3), strip("b", 3)
	a.Width, b.Width = 66*mm, 50*mm
	h := board([]Strip{a, b})
	h.Size = Size{Length: 3000 * mm, Wide: 260 * mm, Kerf: 4 * mm}
	h.Ways[0].Positions = []unit.Length{100 * mm, 110 * mm, 180 * mm, 224 * mm, 278 * mm}
	return h
}

// takes begins a run whose items take 66 mm plus or minus 0.5 mm, and 50 mm in runs of at
// least 400 mm.
func takes(t *testing.T) *Run {
	t.Helper()
	a, b := want("a", 0), want("b", 0)
	a.Takes = Takes{Min: 66 * mm, Max: 66 * mm, Tolerance: mm / 2}
	b.Takes = Takes{Min: 50 * mm, Max: 50 * mm, Least: 400 * mm, CutKerf: 4 * mm}
	b.Cuts = []CutMade{{Length: 500 * mm}, {Length: 900 * mm}}
	r := &Run{InFlight: 4}
	if r.Take(1); len(r.SetOrder("o", []Wanted{a, b})) > 0 {
		t.Fatal("the order was not taken")
	}
	return r
}

// Each difference that measured strips can have is ignored, doubted or refused by its
// size, and by what is known of the board.
func TestDoubts(t *testing.T) {
	one := func(item string, width unit.Length, runs ...unit.Run) []Measured {
		return []Measured{{Item: item, Width: width, Runs: runs}}
	}
	cut := func(pieces ...CutMade) []Measured {
		return []Measured{{Item: "b", Width: 50 * mm, Runs: []unit.Run{1_900_000, 1_000_000}, Cuts: pieces}}
	}
	for _, c := range []struct {
		what    string
		outcome Outcome
		strips  []Measured
		doubts  []DoubtKind
		refused string // path
	}{
		{"as planned", AsMeasured, append(one("a", 66*mm, 3*m), one("b", 50*mm, 3*m)...), nil, ""},
		{"within what is nothing", AsMeasured, one("a", 67*mm, 3*m+10_000), nil, ""},
		{"a little long", AsMeasured, one("a", 66*mm, 2*m, m+10_001), []DoubtKind{LongerThanBoard}, ""},
		{"too long", AsMeasured, one("a", 66*mm, 2*m, m+100_001), nil, "strips[0].stretches"},
		{"a little wider than the pocket", AsMeasured, one("a", 67*mm+1, m), []DoubtKind{WiderThanPocket}, ""},
		{"wider than its item too", AsMeasured, one("a", 68*mm, m), []DoubtKind{WiderThanPocket, OffItemWidth}, ""},
		{"wider than the pocket", AsMeasured, one("", 76*mm+1, m), nil, "strips[0].item_id"},
		{"something else than the plan", SomethingElse, one("", 76*mm+1, m), nil, ""},
		{"wider than the board", SomethingElse, one("", 261*mm+1, m), []DoubtKind{WiderThanBoard}, ""},
		{"far wider than the board", SomethingElse, one("", 270*mm+1, m), nil, "strips[0].width_mm"},
		{"narrower than the item", SomethingElse, one("a", 64*mm, m), []DoubtKind{OffItemWidth}, ""},
		{"of the other item's width", SomethingElse, one("a", 50*mm, m), nil, "strips[0].width_mm"},
		{"short by a little", AsMeasured, one("b", 50*mm, 390_000), nil, ""},
		{"a short stretch", AsMeasured, one("b", 50*mm, m, 389_999), []DoubtKind{BelowLeastLength}, ""},
		{"more strips than pockets", AsMeasured, append(append(one("a", 66*mm, m), one("b", 50*mm, m)...), append(one("b", 40*mm+10*mm, 400_000), one("b", 50*mm, 400_000)...)...), []DoubtKind{MoreThanPockets}, ""},
		{"two of the widest", AsMeasured, append(one("a", 66*mm, m), one("a", 66*mm, m)...), []DoubtKind{MoreThanPockets}, ""},
		{"pieces", AsMeasured, cut(CutMade{500 * mm, 1}, CutMade{900 * mm, 2}), nil, ""},
		{"pieces, were it not for the cuts", AsMeasured, cut(CutMade{500 * mm, 6}), []DoubtKind{PiecesDoNotFit}, ""},
		{"pieces alone", AsMeasured, []Measured{{Item: "b", Width: 50 * mm, Cuts: []CutMade{{500 * mm, 2}}}}, []DoubtKind{PiecesDoNotFit}, ""},
		{"too many pieces", AsMeasured, cut(CutMade{500 * mm, 7}), nil, "strips[0].pieces"},
		{"no stretch as long as the pieces", AsMeasured, []Measured{{Item: "b", Width: 50 * mm, Runs: []unit.Run{700_000, 700_000}, Cuts: []CutMade{{900 * mm, 1}}}}, nil, "strips[0].pieces"},
	} {
		r := takes(t)
		against := Usual
		cf := Confirmation{Sequence: r.plan(t, sized()), Outcome: c.outcome, Strips: c.strips, Against: &against}
		s, _, l := r.Confirm(cf)
		switch {
		case c.refused != "":
			if len(l) == 0 || l[0].Path != c.refused || len(r.Held) != 1 || r.Made(Key{"o", "a"}) != 0 {
				t.Errorf("%s: %v, want a fault of %s and nothing counted", c.what, l, c.refused)
			}
			continue
		case s == nil:
			t.Errorf("%s: %v", c.what, l)
			continue
		}
		var got []DoubtKind
		for _, d := range s.Doubts {
			got = append(got, d.Kind)
		}
		if !slices.Equal(got, c.doubts) {
			t.Errorf("%s: %v, want %v", c.what, s.Doubts, c.doubts)
		}
		// A board from an earlier release's state has no known size, nor do its items.
		r = takes(t)
		for i := range r.Entries {
			r.Entries[i].Takes = Takes{}
		}
		h := sized()
		h.Size = Size{}
		cf.Sequence = r.plan(t, h)
		if s, _, l := r.Confirm(cf); s == nil || len(s.Doubts) > 0 && s.Doubts[0].Kind != PiecesDoNotFit {
			t.Errorf("%s, of a board that is not known: %v %v", c.what, s, l)
		}
	}
}

// Pieces that were really cut from the runs are never refused, and never doubted if they
// have one length.
func TestPiecesThatFit(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 9))
	for range 2000 {
		kerf := unit.Length(rng.IntN(8)) * mm
		var runs []unit.Run
		made := map[unit.Length]int64{}
		lengths := []unit.Length{unit.Length(200+rng.IntN(900)) * mm, unit.Length(200+rng.IntN(900)) * mm, unit.Length(200+rng.IntN(900)) * mm}
		kinds := 1 + rng.IntN(3)
		for range 1 + rng.IntN(4) {
			left := unit.Length(300+rng.IntN(2500)) * mm
			runs = append(runs, unit.Run(left/unit.Micrometre))
			for range 6 {
				if c := lengths[rng.IntN(kinds)]; c <= left {
					made[c]++
					left -= c + kerf
				}
			}
		}
		var cuts []CutMade
		for c, n := range made {
			cuts = append(cuts, CutMade{c, n})
		}
		s := scale{Thresholds: Usual}
		s.pieces("strips[0]", &Measured{Runs: runs, Cuts: cuts}, &Entry{Takes: Takes{CutKerf: kerf}})
		if len(s.faults) > 0 || kinds == 1 && len(s.doubts) > 0 {
			t.Fatalf("runs %v, pieces %v, kerf %v: %v %v", runs, cuts, kerf, s.faults, s.doubts)
		}
	}
}

// An item's width stays; a restarted item has a new one, in another unit if need be, and
// what boards planned before yield counts for no item.
func TestBeginAnew(t *testing.T) {
	r := takes(t)
	before := r.plan(t, sized())
	measured := r.plan(t, sized())
	wider := want("a", 0)
	wider.MadeSaid, wider.Takes, wider.Count = false, Takes{Min: 70 * mm, Max: 70 * mm}, order.ByPieces
	r.Take(r.Sequence + 1)
	stands(t, r, "before", 0, 6, 0, 6)
	same := wider
	same.Count = order.ByLength
	if l := r.SetOrder("o", []Wanted{same}); len(l) != 1 || l[0].Path != "items[0].width_mm" {
		t.Errorf("another width under the same name: %v", l)
	}
	wider.Anew = true
	if l := r.SetOrder("o", []Wanted{wider}); len(l) > 0 {
		t.Fatal(l)
	}
	stands(t, r, "begun anew", 0, 0, 0, 6)
	if s, _, l := r.Confirm(Confirmation{Sequence: before}); s == nil {
		t.Fatal(l)
	}
	stands(t, r, "a board of before", 0, 0, 3, 3)
	against := Usual
	s, _, l := r.Confirm(Confirmation{Sequence: measured, Outcome: AsMeasured, Against: &against,
		Strips: []Measured{{Item: "a", Width: 66 * mm, Runs: []unit.Run{3 * m}}}})
	if s == nil || len(s.Doubts) != 1 || s.Doubts[0].Kind != OfItemBefore {
		t.Fatalf("%+v %v", s, l)
	}
	stands(t, r, "measured of before", 0, 0, 3, 0)
	if len(r.Faults()) > 0 {
		t.Error(r.Faults())
	}
	now := strip("a", 3)
	now.Width, now.Amount = 70*mm, 1
	if s, _, l := r.Confirm(Confirmation{Sequence: r.plan(t, board([]Strip{now}))}); s == nil || r.Made(Key{"o", "a"}) != 1 {
		t.Errorf("%d pieces of the item that began anew, %v", r.Made(Key{"o", "a"}), l)
	}
}
