package orders

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// table prints the results of orders, as Markdown.
type table struct {
	out    io.Writer
	over   [][]float64 // excess over the bound, as a fraction, by way
	failed string
	by     int // the way that is compared with the bound
}

func (t *table) head() {
	fmt.Fprintf(t.out, "| order | hindsight bound |")
	for i := range ways {
		fmt.Fprintf(t.out, " %s | over |", ways[i].name)
	}
	fmt.Fprintf(t.out, "\n|%s\n", strings.Repeat("---|", 2+2*len(ways)))
	t.over = make([][]float64, len(ways))
}

func (t *table) row(order int, r *row) {
	fmt.Fprintf(t.out, "| %d | %d |", order, r.least)
	for i, took := range r.took {
		over := float64(took)/float64(r.least) - 1
		t.over[i] = append(t.over[i], over)
		fmt.Fprintf(t.out, " %d | %.2f %% |", took, 100*over)
	}
	fmt.Fprintln(t.out)
	t.failed += r.failed
}

// end prints the result of all orders. within is in per cent.
func (t *table) end(within, atWorst float64) bool {
	fmt.Fprintln(t.out, "\n| | over the bound: median | mean | worst |\n|---|---|---|---|")
	for i := range ways {
		fmt.Fprintf(t.out, "| %s | %.2f %% | %.2f %% | %.2f %% |\n", ways[i].name, 100*median(t.over[i]), 100*mean(t.over[i]), 100*slices.Max(t.over[i]))
	}
	fmt.Fprintln(t.out, "\n| boards saved by planned values against | mean | least | greatest |\n|---|---|---|---|")
	for i := 2; i < len(ways); i++ {
		var saved []float64
		for j, o := range t.over[i] {
			saved = append(saved, 1-(1+t.over[0][j])/(1+o))
		}
		fmt.Fprintf(t.out, "| %s | %.1f %% | %.1f %% | %.1f %% |\n", ways[i].name, 100*mean(saved), 100*slices.Min(saved), 100*slices.Max(saved))
	}
	fmt.Fprintf(t.out, "\n%s", t.failed)
	holds := t.verdict("at the median", 100*median(t.over[t.by]), within)
	if atWorst > 0 {
		holds = t.verdict("at worst", 100*slices.Max(t.over[t.by]), atWorst) && holds
	}
	return holds
}

func (t *table) verdict(at string, over, within float64) bool {
	verdict := "holds"
	if over > within {
		verdict = "fails"
	}
	fmt.Fprintf(t.out, "planned values over the hindsight bound %s: %.2f %%, allowed %.2f %%: %s\n", at, over, within, verdict)
	return over <= within
}

func median(all []float64) float64 {
	s := slices.Sorted(slices.Values(all))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

func mean(all []float64) float64 {
	sum := 0.0
	for _, v := range all {
		sum += v
	}
	return sum / float64(len(all))
}
