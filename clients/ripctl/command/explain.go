package command

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func explain(t *tool) *cobra.Command {
	j := &oneBoard{job: &job{t: t}}
	c := &cobra.Command{
		Use:   "explain --saw-file saws.yaml --order order.yaml --fence 153.6mm --blades 150mm,220.4mm... board.json",
		Short: "Explain why the best plan is worth more than a setting",
		Long: `Says why the best plan for a board is worth more than a setting that someone else
chose: which strips differ and what each is worth. Then it tells how the best plan
was found: the parts of the search, the steps and the time that each took, and what
each left as the best plan known and as a bound on every plan. The plan is proven
where the two meet. Ends with status 5 if the setting breaks a rule of the saw.`,
		RunE: func(c *cobra.Command, args []string) error {
			if err := j.load(args); err != nil {
				return err
			}
			return j.check(c.Context(), true)
		},
	}
	j.flags(c)
	return c
}

var partNames = map[ripwrightv1.SearchPartKind]string{
	ripwrightv1.SearchPartKind_SEARCH_PART_KIND_UNSPECIFIED: "",
	ripwrightv1.SearchPartKind_SEARCH_PART_KIND_PREPARATION: "measuring the board",
	ripwrightv1.SearchPartKind_SEARCH_PART_KIND_TABLES:      "tables over heights",
	ripwrightv1.SearchPartKind_SEARCH_PART_KIND_INTERVALS:   "intervals of the fence",
}

func (t *tool) explained(b board, a *ripwrightv1.CheckPlanResponse, where func(string) string) error {
	e := a.GetExplanation()
	switch {
	case t.json:
		return t.writeJSON(a)
	case t.csv:
		all := [][]string{{"item_id", "setting_widths_mm", "setting_worth", "optimum_widths_mm", "optimum_worth", "difference"}}
		for _, d := range e.GetItems() {
			all = append(all, []string{d.GetItemId(), exactlyAll(d.GetSettingWidthsMm()), exactly(d.GetSettingWorth()),
				exactlyAll(d.GetOptimumWidthsMm()), exactly(d.GetOptimumWorth()), exactly(d.GetDifference())})
		}
		return t.rows(all)
	}
	fmt.Fprintf(t.out, "Board %s, %s long\n\n", b.name(), t.long(b.GetLengthMm()))
	w := newTable(t.out)
	fmt.Fprintln(w, "item\tthe setting makes\tworth\tthe best plan makes\tworth\tmore")
	for _, d := range e.GetItems() {
		fmt.Fprintf(w, "%s\t%s\t%.2f\t%s\t%.2f\t%.2f\n", d.GetItemId(), t.makes(d.GetSettingWidthsMm()), d.GetSettingWorth(),
			t.makes(d.GetOptimumWidthsMm()), d.GetOptimumWorth(), d.GetDifference())
	}
	if v := e.GetOffcutsFedAgain(); v != 0 {
		fmt.Fprintf(w, "offcuts fed again\t\t\t\t\t%.2f\n", v)
	}
	if v := e.GetSawTime(); v != 0 {
		fmt.Fprintf(w, "the saw's time\t\t\t\t\t%.2f\n", v)
	}
	if v := e.GetTurning(); v != 0 {
		fmt.Fprintf(w, "turning the board\t\t\t\t\t%.2f\n", v)
	}
	fmt.Fprintf(w, "together\t\t\t\t\t%.2f\n", a.GetDistance())
	if err := w.Flush(); err != nil {
		return err
	}
	for _, r := range a.GetBrokenRules() {
		fmt.Fprintf(t.out, "Breaks a rule: %s %s\n", where(r.GetPath()), r.GetSays())
	}
	fmt.Fprintln(t.out)
	fmt.Fprintln(w, "part of the search\ttimes\tsteps\ttime\tbest plan\tbound")
	for _, p := range e.GetSearch() {
		best, bound := "-", "-"
		if p.GetBest() != 0 {
			best = fmt.Sprintf("%.2f", p.GetBest())
		}
		if p.Bound != nil {
			bound = fmt.Sprintf("%.2f", p.GetBound())
		}
		fmt.Fprintf(w, "%s\t%d\t%.0f\t%v\t%s\t%s\n", partNames[p.GetKind()], p.GetTimes(), p.GetWork(),
			(time.Duration(p.GetTimeUs()) * time.Microsecond).String(), best, bound)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if a.GetProof().GetProven() {
		fmt.Fprintln(t.out, "\nThe best plan is proven: no plan is worth more.")
	} else {
		fmt.Fprintf(t.out, "\nThe best plan that was found; no plan is worth more than %.2f. The search was stopped before it was proven.\n", a.GetProof().GetBound())
	}
	t.warnings(a.GetWarnings())
	return nil
}

// makes lists the widths of strips.
func (t *tool) makes(mm []float64) string {
	if len(mm) == 0 {
		return "-"
	}
	return t.positions(mm)
}

func exactlyAll(all []float64) string {
	out := make([]string, len(all))
	for i, v := range all {
		out[i] = exactly(v)
	}
	return strings.Join(out, " ")
}
