package hindsight

import (
	"errors"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

const mm = unit.Millimetre

// one has two fixed blades that rip one strip of 60 mm from a board that is wide enough.
var one = values.Problem{
	Saw: saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm, Fence: saw.Travel{Max: 200 * mm},
		Blades: []saw.Blade{{At: 200 * mm}, {At: 264 * mm}}},
	Items: []order.Item{{ID: "a", Min: 60 * mm, Max: 60 * mm, Value: 1_000_000, Measure: order.ByLength}},
}

func board(length, width unit.Length) lumber.Kind {
	return lumber.Kind{Board: wood.Board{Length: length * mm, Stations: []wood.Station{{Far: width * mm}}}, Count: 1}
}

// If every board gives one strip from end to end, the least n is where their lengths add
// up to what is wanted; boards too narrow for it still count.
func TestSumsOfLengths(t *testing.T) {
	boards := []lumber.Kind{board(2000, 90), board(1500, 90), board(3000, 50), board(2500, 90), board(1000, 90), board(2000, 90)}
	for metres, want := range map[int64]int{1: 1, 2: 1, 3: 2, 4: 4, 6: 4, 7: 5, 8: 6, 9: 6} {
		p := one
		p.Items = []order.Item{p.Items[0]}
		p.Items[0].Required = metres * 1_000_000
		if got, err := Least(&p, boards, nil); err != nil || got != want {
			t.Errorf("%d m: %d boards, %v, want %d", metres, got, err, want)
		}
	}
	p := one
	p.Items = []order.Item{p.Items[0]}
	p.Items[0].Required = 9_000_001
	if _, err := Least(&p, boards, nil); !errors.Is(err, ErrTooFew) {
		t.Errorf("9.000001 m of 9: %v", err)
	}
}

// For a mixed order fewer boards cannot fill it and n can, as programmes over just these
// boards show, however many more came.
func TestBothSides(t *testing.T) {
	size := 40
	if brief.On() {
		size = 20
	}
	p := invented.Order(3, size)
	boards := quote.Boards(p, 3, 0, 9*size/4)
	n, err := Least(&p.Values, boards, nil)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := Least(&p.Values, boards[:n], nil); err != nil || again != n {
		t.Errorf("%d of %d boards, %d of as many, %v", n, len(boards), again, err)
	}
	if _, err := Least(&p.Values, boards[:n-1], nil); !errors.Is(err, ErrTooFew) {
		t.Errorf("%d boards of which %d are needed: %v", n-1, n, err)
	}
	of := func(n int) *values.Plan {
		q := p.Values
		q.Lots = []values.Lot{{ID: "these", Kinds: boards[:n]}}
		pl, err := values.New(&q)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := pl.Plan(pl.Demand.Open(), values.Options{Gap: 1e-5})
		if err != nil {
			t.Fatal(err)
		}
		return plan
	}
	if b := of(n - 1).Bound; b <= float64(n-1) {
		t.Errorf("%d boards could fill the order, by the bound %g", n-1, b)
	}
	if c := of(n).Cost; c > float64(n)*(1+2*gap) {
		t.Errorf("%d boards are reported as enough, but the plan takes %g", n, c)
	}
}
