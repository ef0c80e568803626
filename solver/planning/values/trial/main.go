// Command trial draws cutting-stock instances by the published recipes of the field's
// classes and reports how near the optimum planning in whole boards gets.
//
//	go run ./solver/planning/values/trial -seeds 100 -from 0 -limit 60s
//
// Times are processor time. The optimum is at least the bound, which an independent
// knapsack recomputes from the plan's values, and at least the optimum known by
// construction. The command fails if a plan takes more than one board beyond that, or
// does not fill the order.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"syscall"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// step is the width of one unit of an instance.
const step = 10 * unit.Micrometre

// problem poses an instance on a saw with free blades and no kerf.
func (in *instance) problem() *values.Problem {
	width := unit.Length(in.stock) * step
	p := &values.Problem{Saw: saw.Saw{Step: step, Gap: step, LeastStrip: step}, Objective: values.Boards, Lost: values.Everything}
	for range in.strips() {
		// Blades that are not needed stand beyond the far edge.
		p.Saw.Blades = append(p.Saw.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Max: width + mostStrips*step}})
	}
	for i, w := range in.widths {
		at := unit.Length(w) * step
		p.Items = append(p.Items, order.Item{ID: fmt.Sprint(w), Min: at, Max: at, Measure: order.ByPieces, Required: int64(in.pieces[i])})
	}
	b := wood.Board{Length: unit.Foot, StraightNear: true, Stations: []wood.Station{{Far: width}}}
	p.Lots = []values.Lot{{ID: "stock", Kinds: []lumber.Kind{{Board: b, Count: 1}}}}
	return p
}

func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// answer is the result of planning for an instance, recounted.
type answer struct {
	boards, greedy, least int
	bound                 float64
	proven                bool
	took                  time.Duration
}

// gap is the default of the service.
const gap = 1e-3

var errUnfilled = errors.New("the plan does not fill the order")

// solve plans as the service does: a greedy plan, values, whole boards.
func (in *instance) solve(limit time.Duration) (*answer, error) {
	pl, err := values.New(in.problem())
	if err != nil {
		return nil, err
	}
	begun := spent()
	o := values.Options{Gap: gap, Stop: func() bool { return spent()-begun >= limit }}
	open := pl.Demand.Open()
	first, _, err := pl.Greedy(open, o)
	if err != nil {
		return nil, err
	}
	plan, err := pl.Plan(open, o)
	if err != nil {
		return nil, err
	}
	w, _, err := pl.Whole(plan, open, o)
	if err != nil {
		return nil, err
	}
	if !w.Filled {
		w = first // planning after the greedy plan was stopped
	}
	if !w.Filled {
		return nil, errUnfilled
	}
	a := &answer{boards: int(w.Boards), greedy: int(first.Boards), bound: plan.Bound, took: spent() - begun}
	if err := in.recount(w); err != nil {
		return nil, err
	}
	a.least = max(in.least(plan.Values), in.known)
	if a.proven = a.boards == a.least; w.Proven && !a.proven {
		return nil, fmt.Errorf("%d boards are reported as proven; the known optimum is %d", a.boards, a.least)
	}
	return a, nil
}

func main() {
	from := flag.Uint64("from", 0, "first seed")
	seeds := flag.Uint64("seeds", 100, "how many instances")
	limit := flag.Duration("limit", time.Minute, "processor time for each")
	flag.Parse()
	fmt.Printf("%5s  %-26s%7s%8s%8s%8s%12s%7s  %-7s%8s\n", "seed", "class", "widths", "pieces", "greedy", "boards", "bound", "least", "", "s")
	failed, proven := 0, 0
	for seed := *from; seed < *from+*seeds; seed++ {
		in := drawn(seed)
		pieces := 0
		for _, n := range in.pieces {
			pieces += n
		}
		a, err := in.solve(*limit)
		if err != nil {
			failed++
			fmt.Printf("%5d  %-26s%7d%8d %v\n", seed, in.class, len(in.widths), pieces, err)
			continue
		}
		says := "proven"
		switch over := a.boards - a.least; {
		case a.proven:
			proven++
		case over == 1:
			says = "one off"
		default:
			says = fmt.Sprintf("%d OFF", over)
			failed++
		}
		fmt.Printf("%5d  %-26s%7d%8d%8d%8d%12.4f%7d  %-7s%8.2f\n", seed, in.class, len(in.widths), pieces, a.greedy, a.boards, a.bound, a.least, says, a.took.Seconds())
	}
	fmt.Printf("of %d instances %d proven optimal, %d within a board of the bound, %d beyond\n", *seeds, proven, int(*seeds)-proven-failed, failed)
	if failed > 0 {
		os.Exit(1)
	}
}
