package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// today is the name of the current setting.
const today = "today"

const lockedOut = "Set blades only while the machine is stopped and locked out."

func arbor(t *tool) *cobra.Command {
	p := &planning{job: job{t: t}}
	var drawTo string
	c := &cobra.Command{
		Use:   "arbor --saw-file saws.yaml --lumber lumber.yaml arbors.yaml",
		Short: "Compare where the fixed blades of an arbor could stand",
		Long: `Compares where the fixed blades of an arbor could stand, for the orders and the
lumber to come: settings that the spacers allow against today's, a gang of fixed
blades alone, and one more moving blade.
` + lockedOut,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("name one file with orders and spacers, such as %s arbors.yaml", c.CommandPath())
			}
			f, err := t.open(args[0], files.Arbors)
			if err != nil {
				return err
			}
			q := &ripwrightv1.PlanArborRequest{}
			if err := f.Into(0, q); err != nil {
				return failed(err)
			}
			if err := p.load(); err != nil {
				return err
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			q.Lumber = p.lumber
			if p.limit > 0 {
				q.TimeLimitMs = &p.limit
			}
			if q.Pace == nil && p.saw != nil {
				q.Pace = p.pace(0)
			}
			p.choose(q)
			at := source{f, 0}
			where := p.where(func(path string) (string, bool) { return at.at(path), inArbors(path) })
			a, err := call(c.Context(), t, ripwrightv1.NewPlanningServiceClient(s.conn).PlanArbor, q, where)
			if err != nil {
				return err
			}
			if err := t.arbors(a, q); err != nil {
				return failed(err)
			}
			if drawTo != "" {
				return failed(t.arborChart(drawTo, a, levelOf(q.GetLevel())))
			}
			return nil
		},
	}
	p.flags(c)
	c.Flags().StringVar(&drawTo, "chart", "", "write a chart of what the settings are worth to this `file`, as SVG")
	return c
}

// inArbors reports whether a field of the request comes from the file.
func inArbors(path string) bool {
	name, _, _ := strings.Cut(path, ".")
	name, _, _ = strings.Cut(name, "[")
	d := files.Arbors.Message
	f := d.Fields().ByTextName(name)
	return f != nil && files.Arbors.Elsewhere[f.FullName()] == ""
}

// arborRow is a setting with its name in the answer.
type arborRow struct {
	name string
	*ripwrightv1.ArborScore
}

func arborRows(a *ripwrightv1.PlanArborResponse) []arborRow {
	all := []arborRow{{today, a.GetToday()}}
	for i, s := range a.GetSuggestions() {
		all = append(all, arborRow{fmt.Sprintf("suggestion %d", i+1), s})
	}
	if s := a.GetFixedOnly(); s != nil {
		all = append(all, arborRow{"all blades fixed", s})
	}
	if s := a.GetMoreMoving(); s != nil {
		all = append(all, arborRow{"first, with one more moving blade", s})
	}
	return all
}

func (t *tool) arbors(a *ripwrightv1.PlanArborResponse, q *ripwrightv1.PlanArborRequest) error {
	if t.json {
		return t.writeJSON(a)
	}
	n := exactly
	if t.csv {
		rows := [][]string{{"setting", "fixed_mm", "worth", "gain", "gain_lower", "gain_upper", "yield_ratio", "cycle_s", "blades_moved"}}
		for _, s := range arborRows(a) {
			at := make([]string, len(s.GetFixedMm()))
			for i, v := range s.GetFixedMm() {
				at[i] = n(v)
			}
			g := s.GetGain()
			rows = append(rows, []string{s.name, strings.Join(at, " "), n(s.GetWorth()), n(g.GetMean()), n(g.GetLower()), n(g.GetUpper()),
				n(s.GetYieldRatio()), n(s.GetCycleS()), fmt.Sprint(s.GetBladesMoved())})
		}
		return t.rows(rows)
	}
	level := levelOf(q.GetLevel())
	w := newTable(t.out)
	fmt.Fprintln(w, "setting\tfixed blades\tworth a board\tmore than today\tfrom\tto\tyield\tseconds a board\tblades to move")
	for _, s := range arborRows(a) {
		g := s.GetGain()
		gain := fmt.Sprintf("%+.3f\t%+.3f\t%+.3f", g.GetMean(), g.GetLower(), g.GetUpper())
		moved := fmt.Sprint(s.GetBladesMoved())
		if s.name == today {
			gain, moved = "-\t-\t-", "-"
		}
		cycle := "-"
		if v := s.GetCycleS(); v > 0 {
			cycle = fmt.Sprintf("%.1f", v)
		}
		fmt.Fprintf(w, "%s\t%s\t%.3f\t%s\t%.1f %%\t%s\t%s\n", s.name, t.positions(s.GetFixedMm()), s.GetWorth(), gain,
			100*s.GetYieldRatio(), cycle, moved)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	tried := fmt.Sprintf("%d settings were tried", a.GetTried())
	switch {
	case a.GetTried() == 0:
		tried = "The spacers have no room for the fixed blades: no setting was tried"
	case a.GetAllTried():
		tried = fmt.Sprintf("All %d possible settings were tried", a.GetTried())
	}
	if a.GetScreened() > 0 {
		tried += fmt.Sprintf(", and %d on a few of the boards", a.GetScreened())
	}
	if a.GetLeaveAsIs() {
		fmt.Fprintf(t.out, "\nLeave the arbor as it is: no setting that was tried is clearly worth more.\n")
	}
	fmt.Fprintf(t.out, "\n%s. The mean gain lies in its range %g times in 100.\n%s\n", tried, 100*level, lockedOut)
	if e := a.GetEndedBy(); e != ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT {
		fmt.Fprintf(t.out, "The time limit ended the search early: %s.\n", a.GetLeftUndone())
	}
	return nil
}
