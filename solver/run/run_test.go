package run

import (
	"encoding/json"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

const m = unit.Run(1_000_000)

// want is an item that is counted in length, in metres.
func want(id string, made int64) Wanted {
	return Wanted{Entry: Entry{Key: Key{Item: id}, Count: order.ByLength, Made: made * int64(m), Stack: "s-" + id}, MadeSaid: true}
}

// strip is a strip of an item, 50 mm wide, of a length in metres.
func strip(id string, length unit.Run) Strip {
	return Strip{Item: id, Stack: "s-" + id, Width: 50 * unit.Millimetre, Length: length * m, Amount: int64(length * m)}
}

// board is a planned board of 1 m2 with the strips of its plan and of runners-up.
func board(ways ...[]Strip) Held {
	h := Held{Order: "o", Pack: "p", Face: unit.SquareMetre, Thickness: 20 * unit.Millimetre}
	for i, s := range ways {
		w := Way{Strips: s, Positions: []unit.Length{unit.Length(i)}}
		for j := range s {
			w.Parts.Strip += s[j].Area()
		}
		w.Parts.Kerf = unit.SquareMetre / 100
		w.Parts.Edging = h.Face - w.Parts.Strip - w.Parts.Kerf
		h.Ways = append(h.Ways, w)
	}
	return h
}

func begin(t *testing.T) *Run {
	t.Helper()
	r := &Run{InFlight: 4}
	if !r.Take(1) {
		t.Fatal("message 1 refused")
	}
	if l := r.SetOrder("o", []Wanted{want("a", 10), want("b", 0)}); len(l) > 0 {
		t.Fatal(l)
	}
	return r
}

// plan sends a board and gives its sequence.
func (r *Run) plan(t *testing.T, h Held) int32 {
	t.Helper()
	if !r.Take(r.Sequence+1) || !r.Reserve(h) {
		t.Fatal("a board was not taken")
	}
	return r.Sequence
}

// stands checks what is made and reserved of a and b, in metres.
func stands(t *testing.T, r *Run, what string, aMade, aReserved, bMade, bReserved int64) {
	t.Helper()
	a, b := Key{"o", "a"}, Key{"o", "b"}
	got := [4]int64{r.Made(a) / int64(m), r.Reserved(a) / int64(m), r.Made(b) / int64(m), r.Reserved(b) / int64(m)}
	if got != [4]int64{aMade, aReserved, bMade, bReserved} {
		t.Errorf("%s: %v, want %v", what, got, [4]int64{aMade, aReserved, bMade, bReserved})
	}
}

// Every outcome commits or releases what the plan reserved, and does so once.
func TestOutcomes(t *testing.T) {
	for _, c := range []struct {
		what         string
		confirmation Confirmation
		a, b         int64 // made then
		area         int64 // of strips, in 0.05 m2
		cut          bool
	}{
		{"as planned", Confirmation{Outcome: AsPlanned}, 16, 3, 9, true},
		{"not cut", Confirmation{Outcome: NotCut}, 10, 0, 0, false},
		{"sent back", Confirmation{Outcome: SentBack}, 10, 0, 0, false},
		{"the runner-up", Confirmation{Outcome: RunnerUp, RunnerUp: 0}, 12, 4, 6, true},
		{"as measured", Confirmation{Outcome: AsMeasured, Strips: []Measured{
			{Item: "a", Width: 50 * unit.Millimetre, Runs: []unit.Run{2 * m, 2 * m}}}}, 14, 0, 4, true},
		{"something else", Confirmation{Outcome: SomethingElse, Strips: []Measured{
			{Item: "b", Width: 50 * unit.Millimetre, Runs: []unit.Run{5 * m}},
			{Width: 100 * unit.Millimetre, Runs: []unit.Run{m}}}}, 10, 5, 7, true},
	} {
		r := begin(t)
		seq := r.plan(t, board([]Strip{strip("a", 3), strip("a", 3), strip("b", 3)}, []Strip{strip("a", 2), strip("b", 4)}))
		stands(t, r, "reserved", 10, 6, 0, 3)
		c.confirmation.Sequence = seq
		s, _, l := r.Confirm(c.confirmation)
		if s == nil || len(l) > 0 {
			t.Fatalf("%s: %v", c.what, l)
		}
		stands(t, r, c.what, c.a, 0, c.b, 0)
		u := &r.Totals
		if u.Strip.Lo != uint64(c.area)*uint64(unit.SquareMetre/20) || u.Outcomes[c.confirmation.Outcome] != 1 {
			t.Errorf("%s: %g m2 of strips", c.what, u.Strip.SquareMetres())
		}
		var parts Sum
		for _, p := range []Sum{u.Strip, u.EndTrim, u.Offcut, u.Edging, u.Kerf, u.Other} {
			parts.Lo += p.Lo
		}
		if parts != u.Face || (u.Face.SquareMetres() == 1) != c.cut {
			t.Errorf("%s: the parts come to %v, the face to %v", c.what, parts, u.Face)
		}
		// The same confirmation again counts nothing.
		before, _ := json.Marshal(r)
		if s, _, l := r.Confirm(c.confirmation); s != nil || len(l) > 0 {
			t.Errorf("%s: counted twice", c.what)
		}
		if after, _ := json.Marshal(r); string(after) != string(before) {
			t.Errorf("%s: confirmed twice, %s", c.what, after)
		}
	}
}

// An impossible confirmation is refused by its field, and nothing changes.
func TestWrongConfirmations(t *testing.T) {
	r := begin(t)
	seq := r.plan(t, board([]Strip{strip("a", 3)}, []Strip{strip("b", 3)}))
	before, _ := json.Marshal(r)
	for field, c := range map[string]Confirmation{
		"board_sequence":    {Sequence: seq + 1},
		"runner_up":         {Sequence: seq, Outcome: RunnerUp, RunnerUp: 1},
		"strips":            {Sequence: seq, Outcome: AsMeasured, Strips: []Measured{{Item: "a", Width: 200 * unit.Millimetre, Runs: []unit.Run{5*m + 1}}}},
		"strips[0].item_id": {Sequence: seq, Outcome: AsMeasured, Strips: []Measured{{Width: 1, Runs: []unit.Run{1}}}},
		"strips[1].item_id": {Sequence: seq, Outcome: SomethingElse, Strips: []Measured{{Item: "a", Width: 1}, {Item: "c", Width: 1}}},
		"strips[0].pieces[0].length_mm": {Sequence: seq, Outcome: AsMeasured,
			Strips: []Measured{{Item: "a", Width: 1, Cuts: []CutMade{{metre, 1}}}}},
	} {
		if s, _, l := r.Confirm(c); s != nil || len(l) != 1 || l[0].Path != field {
			t.Errorf("%+v: %v, want a fault of %s", c, l, field)
		}
	}
	if after, _ := json.Marshal(r); string(after) != string(before) {
		t.Errorf("changed to %s", after)
	}
}

// Boards under way are planned for what is then open, up to a number; a change of orders
// meanwhile loses nothing.
func TestReservationsAndOrders(t *testing.T) {
	r := begin(t)
	first := r.plan(t, board([]Strip{strip("a", 3)}))
	second := r.plan(t, board([]Strip{strip("a", 2), strip("b", 1)}))
	items := []order.Item{{ID: "a"}, {ID: "b"}, {ID: "new"}}
	r.Stand(items)
	if items[0].Made != 15*int64(m) || items[1].Made != int64(m) || items[2].Made != 0 {
		t.Errorf("stand %+v", items)
	}

	// Another order. Boards under way belong to the one before.
	if l := r.SetOrder("o2", []Wanted{want("a", 100)}); len(l) > 0 {
		t.Fatal(l)
	}
	if _, _, l := r.Confirm(Confirmation{Sequence: first}); len(l) > 0 {
		t.Fatal(l)
	}
	stands(t, r, "under another order", 13, 2, 0, 1)
	if got := r.Made(Key{"o2", "a"}); got != 100*int64(m) {
		t.Errorf("the new order has %d", got)
	}

	// Back again: what is made stands, unless it is given.
	silent := want("a", 0)
	silent.MadeSaid = false
	if l := r.SetOrder("o", []Wanted{silent, want("b", 7)}); len(l) > 0 {
		t.Fatal(l)
	}
	stands(t, r, "back again", 13, 2, 7, 1)
	if _, _, l := r.Confirm(Confirmation{Sequence: second}); len(l) > 0 {
		t.Fatal(l)
	}
	stands(t, r, "all confirmed", 15, 0, 8, 0)

	inArea := want("a", 0)
	inArea.Count = order.ByArea
	if l := r.SetOrder("o", []Wanted{inArea}); len(l) != 1 || l[0].Path != "items[0].required" {
		t.Errorf("another unit: %v", l)
	}
	for range r.InFlight {
		r.plan(t, board([]Strip{strip("a", 1)}))
	}
	r.Take(r.Sequence + 1)
	if r.Reserve(board([]Strip{strip("a", 1)})) {
		t.Error("more boards under way than may be")
	}
}

// Only the next number is taken.
func TestSequence(t *testing.T) {
	r := &Run{Sequence: 5}
	for _, n := range []int32{-1, 0, 4, 5, 7, 1<<31 - 1} {
		if r.Take(n) {
			t.Errorf("%d after 5", n)
		}
	}
	if !r.Take(6) || r.Sequence != 6 {
		t.Error("6 not taken")
	}
	if r = (&Run{Sequence: 1<<31 - 1}); r.Take(-1<<31) || r.Take(0) {
		t.Error("a message beyond the last number is accepted")
	}
}

// The verdicts on confirmations that count nothing: the same again, another content, a
// refused board, a message without a board, and one too long ago.
func TestVerdicts(t *testing.T) {
	r := begin(t)
	first := r.plan(t, board([]Strip{strip("a", 3)}))
	r.Take(r.Sequence + 1)
	r.Refuse()
	refused := r.Sequence
	r.Take(r.Sequence + 1) // for example an order
	other := r.Sequence
	verdict := func(what string, c Confirmation, want Verdict) {
		t.Helper()
		// The same after the run was written and read back.
		text, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		r = new(Run)
		if err := json.Unmarshal(text, r); err != nil || len(r.Faults()) > 0 {
			t.Fatal(err, r.Faults())
		}
		s, v, l := r.Confirm(c)
		if v != want || len(l) > 0 || (s != nil) != (want == Counted) {
			t.Errorf("%s: %v, %v, %v; want %v", what, s, v, l, want)
		}
	}
	verdict("the first", Confirmation{Sequence: first}, Counted)
	verdict("again", Confirmation{Sequence: first}, CountedBefore)
	verdict("otherwise", Confirmation{Sequence: first, Outcome: NotCut}, CountedOtherwise)
	verdict("refused", Confirmation{Sequence: refused}, BoardRefused)
	verdict("no board", Confirmation{Sequence: other}, NoSuchBoard)
	for range maxPast {
		if _, _, l := r.Confirm(Confirmation{Sequence: r.plan(t, board([]Strip{strip("b", 1)}))}); len(l) > 0 {
			t.Fatal(l)
		}
	}
	verdict("the first, long after", Confirmation{Sequence: first}, TooLongAgo)
}
