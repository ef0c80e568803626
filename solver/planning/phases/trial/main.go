// Command trial cuts drawn orders to their end through 2, 3 and 4 bays of an outfeed, and
// reports how much more lumber that takes than a bay for every stack, for each way of
// assigning bays.
//
//	go run ./solver/planning/phases/trial -orders 30
//
// The same boards come in the same sequence each time, after a sample of others from
// which values are planned; values are replanned every 25 boards, and with the planned
// sequence after each change of bays.
package main

import (
	"flag"
	"fmt"
	"math/big"
	"os"

	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/invented"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// How stacks get bays.
const (
	byArea  = "open area"
	byWorth = "worth at planned values"
	byPlan  = "planned sequence"
)

const (
	every     = 25      // boards from one planning to the next
	most      = 4000    // boards, after which an order is given up
	boardWork = 300_000 // steps of the search for a board
)

func fill(q *quote.Problem, seed uint64, count int, by string) (face float64, err error) {
	items := order.CloneItems(q.Values.Items)
	stacks := make([]bays.Stack, len(items))
	for i := range stacks {
		stacks[i] = bays.Of("", items[i].ID, "")
	}
	lies, c := bays.New(max(count, 1)), &replan.Course{}
	var expected []wood.Board
	for _, k := range q.Lots[0].Sample(replan.MaxBoards, seed+5000) {
		expected = append(expected, k.Board)
	}
	c.Sample.Expect(expected)
	for boards := 0; !order.Full(items); boards++ {
		if boards == most {
			return 0, fmt.Errorf("seed %d: the order is not full after %d boards", seed, most)
		}
		p := &rip.Problem{Board: q.Lots[0].Sample(1, seed<<20+uint64(boards))[0].Board, Saw: q.Values.Saw, Items: order.CloneItems(items)}
		if c.Force == nil || c.Due(every) {
			t := c.Task(p.Saw, order.CloneItems(items), nil, values.Everything)
			if by == byPlan {
				t.Through(lies, stacks)
			}
			set, err := t.Plan(values.Options{})
			if err != nil {
				return 0, err
			}
			c.Take(t, set, "")
		}
		c.Price(p.Items, &p.Board)
		if count > 0 {
			wants := bays.Wants(p.Items, stacks, len(p.Items), nil, p.Board.Length)
			for i := range wants {
				it := &p.Items[i]
				if open, _ := it.Open(); by == byWorth {
					wants[i].Open.Mul(it.Sold(it.Min, 1).Big(), big.NewInt(open))
				}
				wants[i].Turn = c.TurnOf(wants[i].Stack)
			}
			next, changes, _ := lies.Choose(wants, unit.Worth{})
			if lies = next; len(changes) > 0 && by == byPlan {
				c.Moved = c.Sample.Seen + 1
			}
			c.PriceThrough(p.Items, &p.Board, lies, stacks)
			var idle []int
			for i := range stacks {
				if lies.Find(stacks[i]) < 0 {
					idle = append(idle, i)
				}
			}
			p = instructed.Narrowed(p, &instructed.Instructions{Forbidden: idle})
		}
		c.Sample.Add(&p.Board)
		r, err := rip.Solve(p, rip.Options{Work: boardWork})
		if err != nil {
			return 0, err
		}
		face += r.Best.Account.Face.SquareMetres()
		used := map[string]bool{}
		for k := range r.Best.Pockets {
			if pk := &r.Best.Pockets[k]; pk.Item != rip.None {
				used[items[pk.Item].ID] = true
				items[pk.Item].Made += pk.AmountBy(items[pk.Item].Counting())
			}
		}
		lies.Cut(func(s bays.Stack) bool { return used[s.Item] })
	}
	return face, nil
}

func run(orders, size int, from uint64) error {
	kinds := []struct {
		name string
		draw func(uint64, int) *quote.Problem
	}{{"ten widths, random lumber", invented.Order}, {"3 to 10 items, lumber of a tag", invented.Tag}}
	fmt.Println("| orders | bays | stacks come by | more lumber | at worst |\n|---|---|---|---|---|")
	for _, kind := range kinds {
		free := make([]float64, orders)
		for n := range 4 {
			for _, by := range []string{byArea, byWorth, byPlan} {
				sum, all, worst := 0.0, 0.0, 0.0
				for i := range free {
					seed := from + uint64(i)
					count := n + 1
					if n == 0 {
						count = 0 // no limit
					}
					f, err := fill(kind.draw(seed, size), seed, count, by)
					if n == 0 {
						free[i] = f
					}
					if err != nil {
						return err
					}
					sum, all, worst = sum+free[i], all+f, max(worst, f/free[i]-1)
				}
				if n == 0 {
					break
				}
				fmt.Printf("| %d of %s | %d | %s | %.1f %% | %.1f %% |\n", orders, kind.name, n+1, by, 100*(all/sum-1), 100*worst)
			}
		}
	}
	return nil
}

func main() {
	orders, size := flag.Int("orders", 30, "how many `orders` of each kind"), flag.Int("boards", 60, "about how many `boards` an order takes")
	from := flag.Uint64("from", 1, "the first `seed`")
	flag.Parse()
	if err := run(*orders, *size, *from); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
