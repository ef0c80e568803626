package run

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// two is a run with an order o in force and an order n waiting, of the same items, with a
// board that serves both.
func two(t *testing.T) (*Run, int32) {
	t.Helper()
	r := begin(t)
	if _, l := r.Await([]Coming{{ID: "n", Items: []Wanted{want("a", 1), want("b", 0)}}}); len(l) > 0 {
		t.Fatal(l)
	}
	next := strip("a", 3)
	next.Order, next.Stack = "n", "n-a"
	plan := []Strip{strip("a", 2), next}
	plan[0].From, plan[1].From = From{Pocket: 1}, From{Pocket: 2, Far: 1}
	return r, r.plan(t, board(plan, []Strip{strip("b", 4)}))
}

// A strip is reserved for its own order and counts for that, if items of both orders have
// the same name, by every outcome and after being written and read back.
func TestTwoOrders(t *testing.T) {
	metres := func(r *Run) [4]int64 {
		o, n := Key{"o", "a"}, Key{"n", "a"}
		return [4]int64{r.Made(o) / int64(m), r.Reserved(o) / int64(m), r.Made(n) / int64(m), r.Reserved(n) / int64(m)}
	}
	measured := func(order string, pocket int, length unit.Run) Measured {
		return Measured{Order: order, Item: "a", Width: 50 * unit.Millimetre, Runs: []unit.Run{length * m}, Pocket: pocket}
	}
	for what, c := range map[string]struct {
		Confirmation
		want [4]int64
	}{
		"as planned":           {Confirmation{}, [4]int64{12, 0, 4, 0}},
		"not cut":              {Confirmation{Outcome: NotCut}, [4]int64{10, 0, 1, 0}},
		"the runner-up":        {Confirmation{Outcome: RunnerUp}, [4]int64{10, 0, 1, 0}},
		"by their pockets":     {Confirmation{Outcome: AsMeasured, Strips: []Measured{measured("", 2, 3), measured("", 1, 1)}}, [4]int64{11, 0, 4, 0}},
		"by their orders":      {Confirmation{Outcome: AsMeasured, Strips: []Measured{measured("n", 0, 2), measured("o", 0, 2)}}, [4]int64{12, 0, 3, 0}},
		"of the board's order": {Confirmation{Outcome: AsMeasured, Strips: []Measured{measured("", 0, 2)}}, [4]int64{12, 0, 1, 0}},
		"against its pocket":   {Confirmation{Outcome: AsMeasured, Strips: []Measured{measured("o", 2, 3)}}, [4]int64{13, 0, 1, 0}},
		"something else":       {Confirmation{Outcome: SomethingElse, Strips: []Measured{measured("n", 0, 4)}}, [4]int64{10, 0, 5, 0}},
	} {
		r, seq := two(t)
		if got := metres(r); got != [4]int64{10, 2, 1, 3} {
			t.Fatalf("reserved: %v", got)
		}
		text, err := json.Marshal(r)
		back := &Run{}
		if err != nil || json.Unmarshal(text, back) != nil || !reflect.DeepEqual(back, r) || len(back.Faults()) > 0 {
			t.Fatalf("read back as %+v, %v", back, back.Faults())
		}
		c.Sequence, c.Against = seq, &Usual
		s, _, l := back.Confirm(c.Confirmation)
		if len(l) > 0 || len(s.Doubts) > 0 {
			t.Fatal(what, l, s.Doubts)
		}
		if got := metres(back); got != c.want {
			t.Errorf("%s: %v, want %v", what, got, c.want)
		}
		if _, v, l := back.Confirm(c.Confirmation); v != CountedBefore || len(l) > 0 {
			t.Errorf("%s, once more: %v, %v", what, v, l)
		}
		var sum int64
		for _, y := range back.Totals.Tallies {
			if y.Order == "n" && y.Item == "a" {
				sum += int64(y.Length / m)
			}
		}
		if sum != c.want[2]-1 {
			t.Errorf("%s: %v", what, back.Totals.Tallies)
		}
	}
	r, seq := two(t)
	for order, path := range map[string]string{"x": "strips[0].order_id", "n": "strips[0].item_id"} {
		c := Confirmation{Sequence: seq, Outcome: AsMeasured, Strips: []Measured{{Order: order, Item: "c", Width: 50 * unit.Millimetre}}}
		if _, _, l := r.Confirm(c); len(l) != 1 || l[0].Path != path {
			t.Error(l)
		}
	}
}
