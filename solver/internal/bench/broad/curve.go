package broad

import (
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/rip"
)

// Moments at which a curve of worth against time is read, scaled.
var Moments = []time.Duration{500 * time.Microsecond, time.Millisecond, 2 * time.Millisecond, 5 * time.Millisecond,
	20 * time.Millisecond, 100 * time.Millisecond}

// Curve is what plans are worth that a search has when it is stopped, as parts of the
// best known: parts[moment][case].
type Curve struct {
	parts [][]float64
	none  []int // plans of worth 0 where any is worth something
	late  []time.Duration
}

// Add stops a solver at each moment. The best known is the best of these plans and of
// what the reference finds within a limit. It gives the part at each moment.
func (c *Curve) Add(s, reference Solver, p *rip.Problem, scale Scale, limit time.Duration) ([]float64, error) {
	best, _, err := Timed(reference, p, scale.Here(limit))
	if err != nil {
		return nil, err
	}
	most := best.Best.Worth
	if c.parts == nil {
		c.parts, c.none, c.late = make([][]float64, len(Moments)), make([]int, len(Moments)), make([]time.Duration, len(Moments))
	}
	var got []*rip.Result
	for i, m := range Moments {
		r, took, err := Timed(s, p, scale.Here(m))
		if err != nil {
			return nil, err
		}
		c.late[i] = max(c.late[i], scale.Of(took)-m)
		got = append(got, r)
		if r.Best.Worth.Cmp(most) > 0 {
			most = r.Best.Worth
		}
	}
	if most.IsZero() {
		return nil, nil
	}
	var parts []float64
	for i, r := range got {
		part := r.Best.Worth.Money() / most.Money()
		parts = append(parts, part)
		c.parts[i] = append(c.parts[i], part)
		if r.Best.Worth.IsZero() {
			c.none[i]++
		}
	}
	return parts, nil
}

// Print writes a line for each moment.
func (c *Curve) Print(w io.Writer) {
	fmt.Fprintf(w, "%-10s %7s %8s %8s %8s %8s %8s %10s\n", "after", "cases", "1 %", "10 %", "25 %", "median", "worth 0", "latest by")
	for i, all := range c.parts {
		slices.Sort(all)
		at := func(thousandths int) float64 { return all[(len(all)-1)*thousandths/1000] }
		fmt.Fprintf(w, "%-10v %7d %8.4f %8.4f %8.4f %8.4f %8d %10s\n", Moments[i], len(all), at(10), at(100), at(250), at(500), c.none[i], short(c.late[i]))
	}
}

// Join takes what another curve has added.
func (c *Curve) Join(parts []float64) {
	if c.parts == nil {
		c.parts, c.none, c.late = make([][]float64, len(Moments)), make([]int, len(Moments)), make([]time.Duration, len(Moments))
	}
	for i, v := range parts {
		c.parts[i] = append(c.parts[i], v)
		if v == 0 {
			c.none[i]++
		}
	}
}
