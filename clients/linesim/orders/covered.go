package orders

import (
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"github.com/ripwright/ripwright/solver/planning/quote"
)

// covered prints how many cuts the quotes held in, as Markdown.
type covered struct {
	out io.Writer
	all []*kept
	// wide lists the kinds of which too few cuts lay inside to be due to chance.
	wide string
}

func (t *covered) head() {
	fmt.Fprintf(t.out, "| kind | cuts | inside: %s | mean of (cut - quoted) / quoted: %s |\n|%s\n",
		strings.Join(measures, " | "), strings.Join(measures, " | "), strings.Repeat("---|", 2+2*len(measures)))
}

// held sums up quotes by one measure.
type held struct {
	below, inside, above int
	ends                 int       // of those inside, the number that equal an end of the interval
	off                  []float64 // (cut - quoted) / quoted
	// fair is the mean of off with luck as a control variate, and its standard error.
	fair, standardError float64
}

// leastFair is the least number of cuts for which luck is controlled.
const leastFair = 8

// touch is the relative rounding error at an end of an interval.
const touch = 1e-9

func sumUp(all []*kept, measure int) (h held) {
	var luck []float64
	for _, k := range all {
		q, v := k.quoted[measure], k.cut[measure]
		switch {
		case v < q.GetLower()*(1-touch):
			h.below++
		case v > q.GetUpper()*(1+touch):
			h.above++
		default:
			h.inside++
			if v <= q.GetLower()*(1+touch) || v >= q.GetUpper()*(1-touch) {
				h.ends++
			}
		}
		h.off = append(h.off, v/q.GetMean()-1)
		luck = append(luck, k.luck)
	}
	n := len(h.off)
	h.fair, h.standardError = stat.Mean(h.off, nil), standardError(h.off)
	if n >= leastFair && stat.StdDev(luck, nil) > 0 {
		r := stat.Correlation(h.off, luck, nil)
		h.fair = quote.Controlled(h.off, luck)
		h.standardError *= math.Sqrt((1 - r*r) * float64(n-2) / float64(n-3))
	}
	return h
}

// standardError is that of a mean; infinite for fewer than two figures, whose spread is
// not known.
func standardError(all []float64) float64 {
	if len(all) < 2 {
		return math.Inf(1)
	}
	return stat.StdErr(stat.StdDev(all, nil), float64(len(all)))
}

func (t *covered) row(number int, row []*kept) {
	t.all = append(t.all, row...)
	name := fmt.Sprintf("%d. %s", number, kinds[number-1].name)
	fmt.Fprintf(t.out, "| %s | %d |", name, len(row))
	for i, m := range measures {
		h := sumUp(row, i)
		fmt.Fprintf(t.out, " %s |", percent(h.inside, len(row)))
		if h.inside < least(len(row), tailOfKind) {
			t.wide += fmt.Sprintf("%s: %s inside by %s\n", name, percent(h.inside, len(row)), m)
		}
	}
	for i := range measures {
		h := sumUp(row, i)
		fmt.Fprintf(t.out, " %+.2f %% |", 100*stat.Mean(h.off, nil))
	}
	fmt.Fprintln(t.out)
}

func percent(n, of int) string { return fmt.Sprintf("%.0f %%", 100*float64(n)/float64(of)) }

// Probabilities of a false alarm. Of 400 cuts tail leaves 344 to 375 inside, 86 to 94 %,
// if the interval holds 90 %.
const (
	tail       = 0.005
	tailOfKind = 0.0001
)

// least is the least number inside of n at the level, except with probability tail.
func least(n int, tail float64) int {
	d := distuv.Binomial{N: float64(n), P: level}
	k, sum := 0, 0.0
	for k <= n {
		if sum += d.Prob(float64(k)); sum > tail {
			break
		}
		k++
	}
	return k
}

// greatest is the greatest number, except with probability tail.
func greatest(n int, tail float64) int {
	d := distuv.Binomial{N: float64(n), P: level}
	k, sum := n, 0.0
	for k >= 0 {
		if sum += d.Prob(float64(k)); sum > tail {
			break
		}
		k--
	}
	return k
}

// drift is how far the cuts may differ from the quotes on average, as a fraction. With
// few cuts chance alone brings more.
const (
	drift  = 0.003
	enough = 400
)

func driftOf(off []float64) float64 {
	n := len(off)
	if n >= enough {
		return drift
	}
	chance := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(max(n-1, 1))}.Quantile(1 - tail)
	return max(drift, chance*standardError(off))
}

// end prints the result of all cuts.
func (t *covered) end() bool {
	n := len(t.all)
	lo, hi := least(n, tail), greatest(n, tail)
	fmt.Fprintf(t.out, "\n| of %d cuts | below | inside | at an end | above | inside required | mean of (cut - quoted) / quoted | adjusted for luck with boards (standard error) | allowed | result |\n|%s\n", n, strings.Repeat("---|", 10))
	holds := t.wide == ""
	for i, m := range measures {
		h := sumUp(t.all, i)
		bound := driftOf(h.off)
		verdict := "holds"
		// If many simulations give the same figure, as with whole boards, an interval that
		// includes its ends holds more than its level.
		if h.inside < lo || h.inside-h.ends > hi || math.Abs(h.fair) > bound {
			verdict, holds = "fails", false
		}
		fmt.Fprintf(t.out, "| %s | %d | %d, %.1f %% | %d | %d | %d to %d, %.1f to %.1f %% | %+.2f %% | %+.2f %% (%.2f %%) | %.2f %% | %s |\n", m, h.below, h.inside, 100*float64(h.inside)/float64(n), h.ends, h.above,
			lo, hi, 100*float64(lo)/float64(n), 100*float64(hi)/float64(n), 100*stat.Mean(h.off, nil), 100*h.fair, 100*h.standardError, 100*bound, verdict)
	}
	boards, unproven := 0, 0
	for _, k := range t.all {
		boards, unproven = boards+k.boards, unproven+k.unproven
	}
	if unproven > 0 {
		fmt.Fprintf(t.out, "\n%d of %d boards were cut by plans that the work limit left unproven\n", unproven, boards)
	}
	if t.wide != "" {
		fmt.Fprintf(t.out, "\nfewer inside than chance explains:\n%s", t.wide)
	}
	return holds
}
