package bays_test

import (
	"math/big"
	"os"
	"strconv"
	"testing"

	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// filled is what filling an order took.
type filled struct {
	boards, changes   int
	face, worth, free float64
}

// fill cuts an invented order through count bays, 0: without a limit; first says which
// stacks get bays first, planned that boards are cut by planned values.
func fill(t *testing.T, seed uint64, count int, first string, planned bool) (out filled) {
	t.Helper()
	q := invented.Order(seed, 60)
	items := order.CloneItems(q.Values.Items)
	stacks := make([]bays.Stack, len(items))
	for i := range stacks {
		stacks[i] = bays.Of("o", items[i].ID, "")
	}
	b := bays.New(max(count, 1))
	c := &replan.Course{}
	var seen []wood.Board
	for _, k := range q.Lots[0].Sample(60, seed) {
		seen = append(seen, k.Board)
	}
	c.Sample.Expect(seen)
	next := func() *rip.Problem {
		kinds := q.Lots[0].Sample(1, seed<<20+uint64(out.boards))
		return &rip.Problem{Board: kinds[0].Board, Saw: q.Values.Saw, Items: order.CloneItems(items)}
	}
	solve := func(p *rip.Problem) *rip.Result {
		r, err := rip.Solve(p, rip.Options{Work: 300_000})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for !order.Full(items) && out.boards < 2000 {
		p := next()
		if planned {
			if c.Force == nil || out.boards%25 == 0 {
				if task := c.Task(p.Saw, order.CloneItems(items), nil, values.Everything); task != nil {
					set, err := task.Plan(values.Options{})
					if err != nil {
						t.Fatal(err)
					}
					c.Take(task, set, "")
				}
			}
			c.Price(p.Items, &p.Board)
			c.Sample.Add(&p.Board)
		}
		by := p
		if count > 0 {
			wants := bays.Wants(p.Items, stacks, len(p.Items), nil, p.Board.Length)
			for i := range wants {
				switch it := &p.Items[i]; first {
				case byItem:
					wants[i].Open.SetInt64(int64(len(wants) - i))
				case byWorth:
					open, _ := it.Open()
					wants[i].Open.Mul(it.Sold(it.Min, 1).Big(), big.NewInt(open))
				}
			}
			var changes []bays.Change
			b, changes, _ = b.Choose(wants, unit.Worth{})
			for _, c := range changes {
				if (c.From != bays.Stack{}) {
					out.changes++
				}
			}
			var idle []int
			for i := range p.Items {
				if b.Find(bays.Of("o", p.Items[i].ID, "")) < 0 {
					idle = append(idle, i)
				}
			}
			by = instructed.Narrowed(p, &instructed.Instructions{Forbidden: idle})
		}
		r := solve(by)
		if count > 0 && first == byArea {
			out.free += solve(p).Best.Worth.Money()
		}
		out.boards++
		out.face += r.Best.Account.Face.SquareMetres()
		out.worth += r.Best.Worth.Money()
		used := map[string]bool{}
		for k := range r.Best.Pockets {
			if pk := &r.Best.Pockets[k]; pk.Item != rip.None {
				used[items[pk.Item].ID] = true
				items[pk.Item].Made += pk.AmountBy(items[pk.Item].Counting())
			}
		}
		b.Cut(func(s bays.Stack) bool { return used[s.Item] })
	}
	return out
}

// By what stacks get bays first.
const (
	byArea  = "area" // the rule
	byWorth = "worth"
	byItem  = "their place in the order"
)

// How much lumber a limit of bays takes to fill an order of ten widths and about 60
// boards: by the rule, by worth, and by the order of the items; and what the measure per
// board says of it. RIPWRIGHT_BAYS sets how many orders; none without it.
func TestGain(t *testing.T) {
	orders, _ := strconv.Atoi(os.Getenv("RIPWRIGHT_BAYS"))
	if orders == 0 {
		t.Skip("RIPWRIGHT_BAYS is not set")
	}
	for i := range 6 {
		count, planned := 2+i/2*2, i%2 == 1
		faces := make([]float64, orders)
		for seed := range faces {
			faces[seed] = fill(t, 900+uint64(seed), 0, "", planned).face
		}
		for _, first := range []string{byArea, byWorth, byItem} {
			var all filled
			free, worst := 0.0, 0.0
			for seed := range faces {
				f := fill(t, 900+uint64(seed), count, first, planned)
				free += faces[seed]
				worst = max(worst, f.face/faces[seed]-1)
				all.face, all.worth, all.free, all.changes = all.face+f.face, all.worth+f.worth, all.free+f.free, all.changes+f.changes
			}
			t.Logf("%d bays, planned %v, by %s: face %+.1f %%, at worst %+.1f %%, %.1f changes an order", count, planned, first, 100*(all.face/free-1), 100*worst, float64(all.changes)/float64(orders))
			if first == byArea {
				t.Logf("   board by board the measure says %.1f %%", 100*(1-all.worth/all.free))
			}
		}
	}
}
