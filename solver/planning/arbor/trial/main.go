// Command trial draws saws, orders and lumber and compares the search for an arbor with
// random settings and greedy moves at equal work.
//
//	go run ./solver/planning/arbor/trial -seeds 30 -from 1 -settings 150
//
// The greedy rule draws settings that the spacers allow, moves one blade at a time to
// wherever the setting is worth more, near or far, and starts afresh when no move helps,
// until it has tried as many settings on all boards. Worths are computed independently.
package main

import (
	"flag"
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"slices"
	"sync/atomic"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

const mm = unit.Millimetre

// mill is an invented saw with its orders and lumber from a seed.
func mill(seed uint64) *arbor.Problem {
	r := rand.New(rand.NewPCG(seed, 23)) // repeatable on purpose
	s := saw.Saw{Kerf: unit.Length(3+r.IntN(3)) * mm, Step: mm / 2, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 3 * mm, Fence: saw.Travel{Max: unit.Length(r.IntN(3)*60) * mm}}
	fixed, moving, at := 2+r.IntN(4), r.IntN(3), unit.Length(60)
	for range fixed {
		at += unit.Length(45 + r.IntN(60))
		s.Blades = append(s.Blades, saw.Blade{At: at * mm})
	}
	for i := range moving {
		from := at + unit.Length(40*(i+1))
		s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: saw.Travel{Min: from * mm, Max: (from + 250) * mm, Current: from * mm}})
	}
	p := &arbor.Problem{Saw: s, Spacers: arbor.Spacers{Increment: []unit.Length{mm / 2, mm, 2 * mm, 5 * mm}[r.IntN(4)], Min: 60 * mm, Max: 450 * mm}}
	for range 1 + r.IntN(2) {
		o := arbor.Order{Weight: int64(1 + r.IntN(5))}
		for i := range 2 + r.IntN(5) {
			w := unit.Length(300+r.IntN(900)) * mm / 10
			o.Items = append(o.Items, order.Item{ID: fmt.Sprint(i), Min: w, Max: w, Value: int64(w) / 1000 * int64(80+r.IntN(40)) / 4, Tolerance: mm / 2})
		}
		p.Orders = append(p.Orders, o)
	}
	lot := lumber.Lot{From: lumber.Spread{Mean: unit.Length(150+r.IntN(150)) * mm, Deviation: 40 * mm, Least: 90 * mm, Greatest: 420 * mm, Crook: 4 * mm,
		Lengths: []lumber.LengthShare{{Length: 2440 * mm, Share: 1}, {Length: 3050 * mm, Share: 2}}}}
	p.Boards = lot.Sample(24, seed)
	return p
}

// work limits the search for one board.
const work = 300_000

// worth of all boards and orders on a setting; nil: the blades cannot stand there.
func worth(p *arbor.Problem, at []unit.Length) *big.Int {
	s := p.Saw
	s.Blades = slices.Clone(s.Blades)
	k := 0
	for i := range s.Blades {
		if !s.Blades[i].Moving {
			s.Blades[i].At = at[k]
			k++
		}
	}
	if len(s.Faults()) > 0 {
		return nil
	}
	total := new(big.Int)
	for _, o := range p.Orders {
		for _, b := range p.Boards {
			if r, err := demand.Solve(&rip.Problem{Board: b.Board, Saw: s, Items: o.Items}, rip.Options{Work: work}); err == nil {
				total.Add(total, new(big.Int).Mul(r.Best.Worth.Big(), big.NewInt(o.Weight*b.Count)))
			}
		}
	}
	return total
}

// greedy applies the greedy rule.
func greedy(p *arbor.Problem, seed uint64, settings int) *big.Int {
	r := rand.New(rand.NewPCG(seed, 29)) // repeatable on purpose
	var grid []unit.Length
	for a := p.Spacers.Min; a <= p.Spacers.Max; a += p.Spacers.Increment {
		grid = append(grid, a)
	}
	n := 0
	for i := range p.Saw.Blades {
		if !p.Saw.Blades[i].Moving {
			n++
		}
	}
	best := new(big.Int)
	for left := settings; left > 0; {
		at := make([]unit.Length, n)
		for i := range at {
			at[i] = grid[r.IntN(len(grid))]
		}
		slices.Sort(at)
		here := worth(p, at)
		if here == nil {
			continue
		}
		left--
		for failed := 0; left > 0 && failed < 60; {
			next := slices.Clone(at)
			i := r.IntN(n)
			if next[i] = grid[r.IntN(len(grid))]; r.IntN(2) == 0 { // or near its place
				next[i] = at[i] + unit.Length(r.IntN(21)-10)*p.Spacers.Increment
			}
			slices.Sort(next)
			if next[0] < p.Spacers.Min || next[n-1] > p.Spacers.Max {
				continue
			}
			w := worth(p, next)
			if w == nil {
				continue
			}
			left--
			if failed++; w.Cmp(here) > 0 {
				here, at, failed = w, next, 0
			}
		}
		if here.Cmp(best) > 0 {
			best = here
		}
	}
	return best
}

func main() {
	from := flag.Uint64("from", 1, "first seed")
	seeds := flag.Uint64("seeds", 30, "how many mills")
	settings := flag.Int("settings", 150, "settings to try, or as much work")
	mean := flag.Float64("mean", 0, "fail if the mean gain over the rule is below this many per cent")
	lowest := flag.Float64("least", -0.2, "fail if any gain over the rule is below this many per cent")
	flag.Parse()
	fmt.Printf("%5s%7s%8s%7s%12s%12s%12s%11s\n", "seed", "fixed", "moving", "step", "search", "rule", "over rule", "suggestions")
	sum, least, n := 0.0, 0.0, 0
	for seed := *from; seed < *from+*seeds; seed++ {
		p := mill(seed)
		var solved atomic.Int64
		r, err := arbor.Solve(p, arbor.Options{Suggestions: 5, Settings: *settings, Level: 0.9, Boards: &solved, Seed: seed})
		if err != nil {
			fmt.Printf("%5d %v\n", seed, err)
			continue
		}
		at := r.Today.Fixed
		if len(r.Best) > 0 {
			at = r.Best[0].Fixed
		}
		found, rule := worth(p, at), greedy(p, seed, *settings)
		a, _ := new(big.Float).SetInt(found).Float64()
		b, _ := new(big.Float).SetInt(rule).Float64()
		over := 0.0 // stays 0 if neither finds anything
		if b > 0 {
			over = 100 * (a/b - 1)
		}
		sum, least, n = sum+over, min(least, over), n+1
		fmt.Printf("%5d%7d%8d%7g%12.5g%12.5g%11.2f%%%11d\n", seed, len(at), len(p.Saw.Blades)-len(at), p.Spacers.Increment.MM(), a, b, over, len(r.Best))
	}
	fmt.Printf("%.2f %% over the rule on the mean of %d, %.2f %% at least\n", sum/float64(n), n, least)
	if n == 0 || sum/float64(n) < *mean || least < *lowest {
		fmt.Printf("falls short of the targets, %g %% on the mean and %g %% at least\n", *mean, *lowest)
		os.Exit(1)
	}
}
