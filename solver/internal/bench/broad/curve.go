package broad

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"github.com/ripwright/ripwright/solver/rip"
)

// Moments at which a curve of worth against time is read, scaled.
var Moments = []time.Duration{500 * time.Microsecond, time.Millisecond, 2 * time.Millisecond, 5 * time.Millisecond,
	20 * time.Millisecond, 100 * time.Millisecond}

// Curve is the worth of the plans that a search has when it is stopped, as fractions of
// the best known: parts[moment][case].
type Curve struct {
	parts [][]float64
	late  [][]time.Duration // from the moment to the answer
}

// Stops are a solver's results for one case when it is stopped at each moment.
type Stops struct {
	Parts []float64 // of the best known
	Late  []time.Duration
}

// Stopped stops a solver at each moment. The best known is the best of these plans and of
// what the reference finds within a limit; if that is worth nothing, there is no case.
func Stopped(s, reference Solver, p *rip.Problem, scale Scale, limit time.Duration) (*Stops, error) {
	best, _, err := Timed(reference, p, scale.Here(limit))
	if err != nil {
		return nil, err
	}
	most := best.Best.Worth
	c := &Stops{}
	var got []*rip.Result
	for _, m := range Moments {
		r, took, err := Timed(s, p, scale.Here(m))
		if err != nil {
			return nil, err
		}
		c.Late = append(c.Late, max(scale.Of(took)-m, 0))
		got = append(got, r)
		if r.Best.Worth.Cmp(most) > 0 {
			most = r.Best.Worth
		}
	}
	if most.IsZero() {
		return nil, nil
	}
	for _, r := range got {
		c.Parts = append(c.Parts, r.Best.Worth.Money()/most.Money())
	}
	return c, nil
}

// Add adds a case.
func (c *Curve) Add(one *Stops) {
	if c.parts == nil {
		c.parts, c.late = make([][]float64, len(Moments)), make([][]time.Duration, len(Moments))
	}
	for i := range Moments {
		c.parts[i] = append(c.parts[i], one.Parts[i])
		c.late[i] = append(c.late[i], one.Late[i])
	}
}

// Print writes a line for each moment: the fractions, how many plans are worth 0 although
// some plan is worth something, and when the answers came.
func (c *Curve) Print(w io.Writer) {
	fmt.Fprintf(w, "%-10s %7s %8s %8s %8s %8s %8s %10s %10s\n", "limit", "cases", "1 %", "10 %", "25 %", "median", "worth 0", "99 % by", "all by")
	for i, all := range c.parts {
		slices.Sort(all)
		slices.Sort(c.late[i])
		n := len(all) - 1
		at := func(thousandths int) float64 { return all[n*thousandths/1000] }
		none, _ := slices.BinarySearch(all, math.SmallestNonzeroFloat64)
		fmt.Fprintf(w, "%-10v %7d %8.4f %8.4f %8.4f %8.4f %8d %10s %10s\n", Moments[i], len(all), at(10), at(100), at(250), at(500), none,
			short(Moments[i]+c.late[i][n*99/100]), short(Moments[i]+c.late[i][n]))
	}
}
