package broad

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/ripwright/ripwright/solver/rip"
)

// Times of some cases by one solver, scaled.
type Times struct {
	Took     []time.Duration
	Unproven int
	Memory   int // of these, ended by memory
}

// Add adds one result.
func (t *Times) Add(r *rip.Result, took time.Duration) {
	t.Took = append(t.Took, took)
	if !r.Proven {
		t.Unproven++
	}
	if r.EndedBy != rip.NoLimit && r.EndedBy != rip.TimeLimit {
		t.Memory++
	}
}

// part gives the time within which a number of thousandths stay.
func (t *Times) part(thousandths int) time.Duration {
	return t.Took[((len(t.Took)-1)*thousandths+999)/1000]
}

// Table groups cases and prints a line for each group.
type Table struct {
	By     func(*Case) string
	order  []string
	groups map[string][]*Times
	names  []string
}

// NewTable gives a table with columns for each solver.
func NewTable(by func(*Case) string, solvers []Solver) *Table {
	t := &Table{By: by, groups: map[string][]*Times{}}
	for _, s := range solvers {
		t.names = append(t.names, s.Name)
	}
	return t
}

// Add adds a case that a solver has solved.
func (t *Table) Add(c *Case, solver int, r *rip.Result, took time.Duration) {
	key := t.By(c)
	g := t.groups[key]
	if g == nil {
		for range t.names {
			g = append(g, &Times{})
		}
		t.groups[key] = g
		t.order = append(t.order, key)
	}
	g[solver].Add(r, took)
}

// Print writes the groups in the order in which they were added.
func (t *Table) Print(w io.Writer) {
	for i, name := range t.names {
		fmt.Fprintf(w, "%-34s %7s %10s %10s %10s %10s  %s\n", name, "cases", "median", "99 %", "99.9 %", "longest", "not proven")
		for _, key := range t.order {
			g := t.groups[key][i]
			slices.Sort(g.Took)
			fmt.Fprintf(w, "%-34s %7d %10s %10s %10s %10s  %d", key, len(g.Took), short(g.part(500)), short(g.part(990)), short(g.part(999)),
				short(g.part(1000)), g.Unproven)
			if g.Memory > 0 {
				fmt.Fprintf(w, ", %d by memory", g.Memory)
			}
			if i > 0 {
				first := t.groups[key][0]
				slices.Sort(first.Took)
				fmt.Fprintf(w, "  median %.2f of the first's, sum %.2f", float64(g.part(500))/float64(first.part(500)), float64(sum(g.Took))/float64(sum(first.Took)))
			}
			fmt.Fprintln(w)
		}
	}
}

func sum(all []time.Duration) (s time.Duration) {
	for _, d := range all {
		s += d
	}
	return s
}

// short writes a time with three digits.
func short(d time.Duration) string {
	switch ms := float64(d) / float64(time.Millisecond); {
	case ms < 1:
		return fmt.Sprintf("%.3f ms", ms)
	case ms < 10:
		return fmt.Sprintf("%.2f ms", ms)
	case ms < 100:
		return fmt.Sprintf("%.1f ms", ms)
	default:
		return fmt.Sprintf("%.0f ms", ms)
	}
}

// Key gives the function by which cases are grouped: arbor, limited (wide or limited
// travel), all, or features, separated by commas.
func Key(names string) (func(*Case) string, error) {
	var parts []func(*Case) string
	for name := range strings.SplitSeq(names, ",") {
		i := slices.IndexFunc(Choices, func(c Choice) bool { return c.Name == name })
		switch {
		case i >= 0:
			parts = append(parts, func(c *Case) string { return Choices[i].Of(&c.Features) })
		case name == "arbor":
			parts = append(parts, func(c *Case) string { return c.Arbor.Name })
		case name == "limited":
			parts = append(parts, func(c *Case) string {
				if c.Travel == "wide" {
					return "wide"
				}
				return "limited"
			})
		case name == "all":
			parts = append(parts, func(*Case) string { return "all" })
		default:
			return nil, fmt.Errorf("%q is not one of all, arbor, limited and the features", name)
		}
	}
	return func(c *Case) string {
		var words []string
		for _, p := range parts {
			words = append(words, p(c))
		}
		return strings.Join(words, " ")
	}, nil
}
