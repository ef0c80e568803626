package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
)

// curve varies one size of a problem and keeps the others. The theory is in the package
// comment of rip: time grows at most as this power of the size.
type curve struct {
	name   string
	theory float64
	sizes  []int
	at     func(n int) cases.Shape
}

var outer = cases.Line.With("", "MFFM")

var curves = []curve{
	{"stops per mm, M F F M", 1, []int{1, 2, 5, 10, 20, 40}, func(n int) cases.Shape {
		c := outer
		c.Step = 1 / float64(n)
		return c
	}},
	{"stops per mm, F F M M", 2, []int{1, 2, 5, 10, 20}, func(n int) cases.Shape {
		c := cases.Line.With("", "FFMM")
		c.Step = 1 / float64(n)
		return c
	}},
	{"stops per mm, five moving", 2, []int{1, 2, 5, 10, 20}, func(n int) cases.Shape {
		c := cases.Line.With("", "MMMMM")
		c.Step = 1 / float64(n)
		return c
	}},
	{"stations, M F F M", 1, []int{4, 16, 64, 256, 1024}, func(n int) cases.Shape {
		c := outer
		c.Stations = n
		return c
	}},
	{"items, M F F M", 1, []int{5, 10, 20, 40, 80}, func(n int) cases.Shape {
		c := outer
		c.Items = n
		return c
	}},
	{"items, five moving", 1, []int{5, 10, 20, 40}, func(n int) cases.Shape {
		c := cases.Line.With("", "MMMMM")
		c.Items = n
		return c
	}},
	{"fixed blades", 1, []int{2, 4, 8}, func(n int) cases.Shape { return cases.Line.With("", strings.Repeat("F", n)) }},
	{"moving blades, no fixed one", 1, []int{5, 6, 7, 8, 10, 12}, func(n int) cases.Shape { return cases.Line.With("", strings.Repeat("M", n)) }},
	{"moving blades beyond F F", 0, []int{1, 2, 3}, func(n int) cases.Shape { return cases.Line.With("", "FF"+strings.Repeat("M", n)) }},
	{"defects, M F F M", 1, []int{5, 10, 20, 40, 80}, func(n int) cases.Shape {
		c := outer
		c.Defects = n
		return c
	}},
}

// scaling prints the median time and work of each curve, and the power of the size by
// which the time has grown since the size before.
func scaling(seeds int) (bool, error) {
	fmt.Printf("%-30s %8s %12s %12s %8s\n", "", "size", "median", "work", "power")
	for _, c := range curves {
		var before *times
		for i, n := range c.sizes {
			t, err := measure(c.at(n), min(seeds, 40))
			if err != nil {
				return false, fmt.Errorf("%s, %d: %w", c.name, n, err)
			}
			fmt.Printf("%-30s %8d %12v %12d", c.name, n, micros(t.part(50)), t.work[len(t.work)/2])
			if before != nil {
				grown := math.Log(float64(n) / float64(c.sizes[i-1]))
				fmt.Printf(" %8.2f", math.Log(float64(t.part(50))/float64(before.part(50)))/grown)
			}
			if i == len(c.sizes)-1 {
				if c.theory > 0 {
					fmt.Printf("  theory: at most %g", c.theory)
				} else {
					fmt.Print("  theory: 1 for the tables, none for the search beyond them")
				}
			}
			fmt.Println()
			before = t
		}
	}
	return true, quoteScaling()
}
