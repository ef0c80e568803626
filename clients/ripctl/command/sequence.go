package command

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

func sequence(t *tool) *cobra.Command {
	return &cobra.Command{
		Use:   "sequence day.yaml",
		Short: "Put the orders of a day in the sequence with the least changing of the arbor",
		Long: `Puts the orders of a day in the sequence that is least late and then is done
soonest, and compares it with the sequence of the file. Every order names the
settings of the fixed blades that it can be run on.
` + lockedOut,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("name one file with the orders of a day, such as %s day.yaml", c.CommandPath())
			}
			f, err := t.open(args[0], files.Day)
			if err != nil {
				return err
			}
			q := &ripwrightv1.SequenceOrdersRequest{}
			if err := f.Into(0, q); err != nil {
				return failed(err)
			}
			if !c.Flags().Changed("timeout") {
				t.timeout = unhurried
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			at := source{f, 0}
			a, err := call(c.Context(), t, ripwrightv1.NewPlanningServiceClient(s.conn).SequenceOrders, q, at.at)
			if err != nil {
				return err
			}
			return failed(t.sequenced(q, a))
		},
	}
}

func (t *tool) sequenced(q *ripwrightv1.SequenceOrdersRequest, a *ripwrightv1.SequenceOrdersResponse) error {
	jobs := map[string]*ripwrightv1.SequenceJob{}
	for _, j := range q.GetJobs() {
		jobs[j.GetOrderId()] = j
	}
	switch {
	case t.json:
		return t.writeJSON(a)
	case t.csv:
		rows := [][]string{{"sequence", "place", "order_id", "fixed_mm", "blades_moved", "change_minutes", "done_minutes", "due_minutes", "late_minutes", "start_minutes"}}
		for _, s := range []struct {
			name string
			*ripwrightv1.OrderSequence
		}{{"best", a.GetBest()}, {"given", a.GetGiven()}} {
			for i, j := range s.GetJobs() {
				of := jobs[j.GetOrderId()]
				due := ""
				if of.DueMinutes != nil {
					due = exactly(of.GetDueMinutes())
				}
				var at []string
				for _, v := range of.GetArbors()[j.GetArbor()].GetFixedMm() {
					at = append(at, exactly(v))
				}
				rows = append(rows, []string{s.name, fmt.Sprint(i + 1), j.GetOrderId(), strings.Join(at, " "), fmt.Sprint(j.GetBladesMoved()),
					exactly(j.GetChangeMinutes()), exactly(j.GetDoneMinutes()), due, exactly(j.GetLateMinutes()), exactly(j.GetStartMinutes())})
			}
		}
		return t.rows(rows)
	}
	weighted := slices.ContainsFunc(q.GetJobs(), func(j *ripwrightv1.SequenceJob) bool { return j.Weight != nil })
	w := newTable(t.out)
	fmt.Fprintln(w, "order\tfixed blades\tblades to move\tchanging\tdone after\tdue after\tlate")
	for _, j := range a.GetBest().GetJobs() {
		of := jobs[j.GetOrderId()]
		due, late := "-", "-"
		if of.DueMinutes != nil {
			due = people.Time(of.GetDueMinutes())
		}
		if v := j.GetLateMinutes(); v > 0 {
			late = people.Time(v)
		}
		at := t.positions(of.GetArbors()[j.GetArbor()].GetFixedMm())
		fmt.Fprintf(w, "%s\t%s\t%d\t%s\t%s\t%s\t%s\n", j.GetOrderId(), at, j.GetBladesMoved(), people.Time(j.GetChangeMinutes()), people.Time(j.GetDoneMinutes()), due, late)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	say := func(what string, s *ripwrightv1.OrderSequence) {
		fmt.Fprintf(t.out, "%s: %s of changing, %s late, all done after %s\n", what, people.Time(s.GetChangeMinutes()), people.Time(s.GetLateMinutes()), people.Time(s.GetTotalMinutes()))
	}
	fmt.Fprintln(t.out)
	say("This sequence", a.GetBest())
	say("As in the file", a.GetGiven())
	if weighted {
		fmt.Fprintf(t.out, "By weight that is %s late, against %s.\n", people.Time(a.GetBest().GetWeightedLateMinutes()), people.Time(a.GetGiven().GetWeightedLateMinutes()))
	}
	if !a.GetProven() {
		late, total := a.GetBest().GetWeightedLateMinutes()-a.GetWeightedLateBoundMinutes(), a.GetBest().GetTotalMinutes()-a.GetTotalBoundMinutes()
		fmt.Fprintf(t.out, "It is the best found. No sequence ends more than %s sooner%s; each takes at least %s of changing.\n",
			people.Time(total), lateGap(weighted, late), people.Time(a.GetChangeBoundMinutes()))
	}
	_, err := fmt.Fprintln(t.out, lockedOut)
	return err
}

// lateGap says how much less late any sequence could be.
func lateGap(weighted bool, late float64) string {
	switch {
	case late <= 0:
		return ", and none is less late"
	case weighted:
		return fmt.Sprintf(", nor less late by more than %s, counted by weights", people.Time(late))
	}
	return fmt.Sprintf(", nor less late by more than %s", people.Time(late))
}
