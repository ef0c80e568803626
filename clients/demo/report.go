package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// report is the result of an order on one saw.
type report struct {
	saw      *ripwrightv1.Saw
	boards   int
	proven   int
	never    []string              // items that no board gives
	order    *ripwrightv1.CutOrder // with what was made
	strips   map[string]int
	account  ripwrightv1.Account
	feet     float64
	stands   *ripwrightv1.Setting // where the previous board left fence and blades
	search   []float64            // us per board
	answered []time.Duration
}

func (r *report) add(a *ripwrightv1.SolveBoardResponse) {
	r.boards++
	if a.GetProof().GetProven() {
		r.proven++
	}
	acc, sum := a.GetPlan().GetAccount(), &r.account
	sum.FaceM2 += acc.GetFaceM2()
	sum.StripM2 += acc.GetStripM2()
	sum.EndTrimM2 += acc.GetEndTrimM2()
	sum.OffcutM2 += acc.GetOffcutM2()
	sum.EdgingM2 += acc.GetEdgingM2()
	sum.KerfM2 += acc.GetKerfM2()
	r.feet += acc.GetBoardFeet()
	for _, p := range a.GetPlan().GetPockets() {
		if p.GetItemId() != "" {
			r.strips[p.GetItemId()]++
		}
	}
	for _, f := range a.GetFills() { // of the items that the plan makes
		for _, it := range r.order.GetItems() {
			if it.GetItemId() == f.GetItemId() {
				it.Made = f.GetMadeAfter()
			}
		}
	}
	r.stands = a.GetPlan().GetSetting()
	r.search = append(r.search, a.GetSolveTimeUs())
}

func amounts(it *ripwrightv1.Item) (unit string, need, made float64) {
	if it.GetRequired().GetAreaM2() > 0 {
		return "m2", it.GetRequired().GetAreaM2(), it.GetMade().GetAreaM2()
	}
	return "m", it.GetRequired().GetLengthM(), it.GetMade().GetLengthM()
}

// open names the items that could be filled and are not.
func (r *report) open() (names []string) {
	for _, it := range r.order.GetItems() {
		if _, need, made := amounts(it); made < need-1e-6 && !slices.Contains(r.never, it.GetItemId()) {
			names = append(names, it.GetItemId())
		}
	}
	return names
}

// outcome says in words what the order took.
func (r *report) outcome() string {
	took := fmt.Sprintf("%d boards, %.0f board feet, %.2f for lumber, yield %.1f %%", r.boards, r.feet, r.feet*price/perMBF, r.share(r.account.GetStripM2()))
	if open := r.open(); len(open) > 0 {
		return took + "; still open: " + strings.Join(open, ", ")
	}
	return took
}

func (r *report) share(m2 float64) float64 { return 100 * m2 / r.account.GetFaceM2() }

func (r *report) print(w io.Writer) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "item\twidth mm\trequired\tmade\tstill open\tstrips\t")
	for _, it := range r.order.GetItems() {
		width := fmt.Sprintf("%g", it.GetWidthMm())
		if g := it.GetRange(); g != nil {
			width = fmt.Sprintf("%g to %g", g.GetMinMm(), g.GetMaxMm())
		}
		unit, need, made := amounts(it)
		fmt.Fprintf(t, "%s\t%s\t%.1f %s\t%.1f %s\t%.1f %s\t%d\t\n", it.GetItemId(), width,
			need, unit, made, unit, max(need-made, 0), unit, r.strips[it.GetItemId()])
	}
	_ = t.Flush()
	a := &r.account
	fmt.Fprintf(w, "where the wood went: strips %.1f %%, end trim %.1f %%, offcut %.1f %%, edging %.1f %%, kerf %.1f %%\n",
		r.share(a.GetStripM2()), r.share(a.GetEndTrimM2()), r.share(a.GetOffcutM2()), r.share(a.GetEdgingM2()), r.share(a.GetKerfM2()))
	slices.Sort(r.search)
	slices.Sort(r.answered)
	fmt.Fprintf(w, "%d of %d plans proven best; the search takes %.2f ms a board at the median and %.2f ms at the 99th percentile, an answer takes %.2f ms, the way to the service and back included; a saw needs seconds for a board\n",
		r.proven, r.boards, at(r.search, 0.5)/1000, at(r.search, 0.99)/1000, at(r.answered, 0.5).Seconds()*1000)
}

func at[T any](sorted []T, q float64) T { return sorted[int(q*float64(len(sorted)-1))] }
