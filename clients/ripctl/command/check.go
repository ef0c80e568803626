package command

import (
	"context"
	"encoding/csv"
	"fmt"

	"github.com/spf13/cobra"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func check(t *tool) *cobra.Command {
	j := &oneBoard{job: &job{t: t}}
	var all string
	c := &cobra.Command{
		Use:   "check --saw-file saws.yaml --order order.yaml --fence 153.6mm --blades 150mm,220.4mm... board.json",
		Short: "Compare a setting that someone else chose with the best one",
		Long: `Compares a setting that someone else chose, an operator or another controller,
with the best one for the same board: what it makes, every rule of the saw that
it breaks, and how much more the best plan is worth. Ends with status 5 if it
breaks any rule.

With --settings it compares a whole day: a setting for each board, scored one after
another in the order in which they were sawn.`,
		RunE: func(c *cobra.Command, args []string) error {
			if err := j.load(args); err != nil {
				return err
			}
			if all != "" {
				if j.at.given() || j.id != "" {
					return usage("--settings is set together with a single setting or --board; set only one of them")
				}
				s, err := t.dial(c.Context())
				if err != nil {
					return err
				}
				defer s.close()
				return j.compare(c.Context(), s, all, &j.how)
			}
			return j.check(c.Context(), false)
		},
	}
	j.flags(c)
	c.Flags().StringVar(&all, "settings", "", "`file` with a setting for each board instead")
	return c
}

// check compares one setting with the best plan, and shows the result or why the best is
// worth more.
func (j *oneBoard) check(ctx context.Context, explain bool) error {
	t := j.t
	b, err := j.pick(j.id)
	if err != nil {
		return err
	}
	set, err := j.at.read(t)
	if err != nil {
		return err
	}
	s, err := t.dial(ctx)
	if err != nil {
		return err
	}
	defer s.close()
	q := &ripwrightv1.CheckPlanRequest{Board: b.Board, Order: j.order, Options: j.how.options(), Setting: set, Explain: explain}
	j.choose(q)
	where := j.where(b, j.at.where("setting."))
	a, err := call(ctx, t, s.CheckPlan, q, where)
	if err != nil {
		return err
	}
	show := t.checked
	if explain {
		show = t.explained
	}
	if err := show(b, a, where); err != nil {
		return failed(err)
	}
	if n := len(a.GetBrokenRules()); n > 0 {
		return coded{fmt.Errorf("the setting breaks %s; do not saw by it", many(n, "rule")), statusBroken}
	}
	return nil
}

func (t *tool) checked(b board, a *ripwrightv1.CheckPlanResponse, where func(string) string) error {
	switch {
	case t.json:
		return t.writeJSON(a)
	case t.csv:
		w := csv.NewWriter(t.out)
		_ = w.Write(append([]string{"plan"}, csvHeader...)) // Flush reports errors
		for _, p := range []struct {
			name string
			plan *ripwrightv1.Plan
		}{{"setting", a.GetPlan()}, {"best", a.GetOptimum()}} {
			for _, row := range csvRows(a.GetBoardId(), p.plan) {
				_ = w.Write(append([]string{p.name}, row...))
			}
		}
		w.Flush()
		return w.Error()
	}
	fmt.Fprintf(t.out, "Board %s, %s long\n\nThe setting\n", b.name(), t.long(b.GetLengthMm()))
	t.plan(a.GetPlan())
	for _, r := range a.GetBrokenRules() {
		fmt.Fprintf(t.out, "Breaks a rule: %s %s\n", where(r.GetPath()), r.GetSays())
	}
	fmt.Fprintln(t.out, "\nThe best plan")
	t.plan(a.GetOptimum())
	t.warnings(a.GetWarnings())
	best := a.GetOptimum().GetWorth()
	fmt.Fprintf(t.out, "\nThe best plan is worth %.2f more than the setting", a.GetDistance())
	if best > 0 {
		fmt.Fprintf(t.out, ", %.1f %% of its worth", 100*a.GetDistance()/best)
	}
	fmt.Fprintln(t.out, ".")
	if !a.GetProof().GetProven() {
		fmt.Fprintln(t.out, "It is the best found; the search was stopped before it was proven.")
	}
	return nil
}

func many(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}
