package drawn

import (
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
)

// Coverage counts how often features came together. Make one with NewCoverage.
type Coverage struct {
	Problems int
	single   [Features]int
	pair     [Features][Features]int
	triple   [Features][Features][Features]int32
	targets  []Set // permitted triples, shuffled
	open     []Set // those that may not have been drawn yet
	next     int   // in open
	asked    int
}

// NewCoverage gives an empty Coverage.
func NewCoverage() *Coverage {
	c := &Coverage{}
	for i := range Feature(Features) {
		for j := range i {
			for k := range j {
				if s := Of(i, j, k); Excluded(s) == "" {
					c.targets = append(c.targets, s)
				}
			}
		}
	}
	r := rand.New(rand.NewPCG(1, 1))
	r.Shuffle(len(c.targets), func(i, j int) { c.targets[i], c.targets[j] = c.targets[j], c.targets[i] })
	c.open = slices.Clone(c.targets)
	return c
}

// Count counts a problem that was tried.
func (c *Coverage) Count(s Set) {
	c.Problems++
	all := s.All()
	for a, i := range all {
		c.single[i]++
		for b, j := range all[:a] {
			c.pair[i][j]++
			for _, k := range all[:b] {
				c.triple[i][j][k]++
			}
		}
	}
}

func (c *Coverage) times(s Set) int {
	switch all := s.All(); len(all) {
	case 1:
		return c.single[all[0]]
	case 2:
		return c.pair[all[1]][all[0]]
	default:
		return int(c.triple[all[2]][all[1]][all[0]])
	}
}

// Target gives a triple to draw next: the triples that were never drawn, in turn; any
// triple once all were drawn, and every other time once many draws have failed.
func (c *Coverage) Target() Set {
	c.asked++
	if c.asked < 2*len(c.targets) || c.asked%2 == 0 {
		for len(c.open) > 0 {
			c.next %= len(c.open)
			if s := c.open[c.next]; c.times(s) == 0 {
				c.next++
				return s
			}
			last := len(c.open) - 1
			c.open[c.next] = c.open[last]
			c.open = c.open[:last]
		}
	}
	return c.targets[c.asked%len(c.targets)]
}

// whole reports whether no triple is missing.
func (c *Coverage) whole() bool {
	for _, s := range c.open {
		if c.times(s) == 0 {
			return false
		}
	}
	return true
}

// Missing lists the permitted pairs and triples that were never drawn.
func (c *Coverage) Missing() (all []Set) {
	for i := range Feature(Features) {
		for j := range i {
			if s := Of(i, j); c.times(s) == 0 && Excluded(s) == "" {
				all = append(all, s)
			}
		}
	}
	for _, s := range c.targets {
		if c.times(s) == 0 {
			all = append(all, s)
		}
	}
	return all
}

// Wrong lists the pairs and triples that are said to be excluded but were drawn.
func (c *Coverage) Wrong() (all []Set) {
	for i := range Feature(Features) {
		for j := range i {
			if s := Of(i, j); c.times(s) > 0 && Excluded(s) != "" {
				all = append(all, s)
			}
			for k := range j {
				if s := Of(i, j, k); c.times(s) > 0 && Excluded(s) != "" {
					all = append(all, s)
				}
			}
		}
	}
	return all
}

// Report writes how often features were drawn: each alone, and the rarest pairs and
// triples. With whole set it writes all pairs and triples.
func (c *Coverage) Report(w io.Writer, whole bool) {
	fmt.Fprintf(w, "%d problems\n", c.Problems)
	for i := range Feature(Features) {
		fmt.Fprintf(w, "%9d %v\n", c.single[i], i)
	}
	var pairs []Set
	barred := 0
	for i := range Feature(Features) {
		for j := range i {
			if s := Of(i, j); Excluded(s) == "" {
				pairs = append(pairs, s)
			} else {
				barred++
			}
		}
	}
	triples := slices.Clone(c.targets)
	total := Features * (Features - 1) * (Features - 2) / 6
	fmt.Fprintf(w, "%d pairs of features can come together, %d cannot; %d triples can, %d cannot\n", len(pairs), barred, len(triples), total-len(triples))
	for _, sets := range [][]Set{pairs, triples} {
		slices.SortStableFunc(sets, func(a, b Set) int { return c.times(a) - c.times(b) })
		n := len(sets)
		fmt.Fprintf(w, "least %d, 1 in 100 at most %d, 1 in 10 %d, half %d times\n", c.times(sets[0]), c.times(sets[n/100]), c.times(sets[n/10]), c.times(sets[n/2]))
		if !whole {
			n = 10
		}
		for _, s := range sets[:n] {
			fmt.Fprintf(w, "%9d %v\n", c.times(s), s)
		}
	}
	for _, e := range excluded {
		fmt.Fprintf(w, "excluded: %s\n", e.why)
	}
}
