package main

import (
	"fmt"
	"time"

	"github.com/ripwright/ripwright/solver/internal/bench/cases"
)

// wanted are the project's targets of time, by case; 0: none.
var wanted = map[string]struct{ median, p99 time.Duration }{
	"line case, outer blades move (M F F M)": {100 * time.Microsecond, 500 * time.Microsecond},
	"line case, alternating (F M F M)":       {100 * time.Microsecond, 500 * time.Microsecond},
	"seven moving blades":                    {300 * time.Microsecond, 0},
	"six fixed blades":                       {50 * time.Microsecond, 0},
	"600 mm board, M M F F M M":              {5 * time.Millisecond, 0},
	"line case, 20 defects, 6 lengths":       {time.Millisecond, 0},
}

func targets(seeds int) (bool, error) {
	holds := true
	fmt.Printf("%-42s %10s %10s %10s %12s\n", "", "median", "99 %", "longest", "boards/s")
	for _, c := range cases.Targets() {
		t, err := measure(c, seeds)
		if err != nil {
			return false, fmt.Errorf("%s: %w", c.Name, err)
		}
		sum := time.Duration(0)
		for _, d := range t.took {
			sum += d
		}
		median, p99 := t.part(50), t.part(99)
		fmt.Printf("%-42s %10v %10v %10v %12.0f", c.Name, micros(median), micros(p99), micros(t.part(100)),
			float64(len(t.took))/sum.Seconds())
		w := wanted[c.Name]
		if t.proven < seeds {
			holds = holds && w.median == 0
			fmt.Printf("  proven %d of %d only", t.proven, seeds)
		}
		holds = verdict("median", median, w.median) && holds
		holds = verdict("99 %", p99, w.p99) && holds
		fmt.Println()
	}
	return holds, nil
}

func micros(d time.Duration) time.Duration { return d.Round(time.Microsecond) }

// says is the word for whether a target holds.
func says(holds bool) string {
	if holds {
		return "holds"
	}
	return "falls short"
}

func verdict(name string, got, want time.Duration) bool {
	if want == 0 {
		return true
	}
	fmt.Printf("  %s %v %s (%.2f of it)", name, want, says(got <= want), float64(got)/float64(want))
	return got <= want
}
