package command

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

func draw(t *tool) *cobra.Command {
	j := &oneBoard{job: &job{t: t}}
	var to string
	c := &cobra.Command{
		Use:   "draw --saw-file saws.yaml --order order.yaml board.json -o plan.svg",
		Short: "Draw a plan as an SVG picture to scale",
		Long: `Draws the best plan for a board, or a setting that someone else chose, as an SVG
picture to scale. It reads in grey as well.`,
		RunE: func(c *cobra.Command, args []string) error {
			if t.csv {
				return usage("a picture cannot be written as CSV; omit --csv")
			}
			if err := j.load(args); err != nil {
				return err
			}
			b, err := j.pick(j.id)
			if err != nil {
				return err
			}
			q := &ripwrightv1.DrawPlanRequest{Board: b.Board, Order: j.order, Options: j.how.options(), Units: ripwrightv1.PictureUnits_PICTURE_UNITS_METRIC}
			if t.system() == people.Inch {
				q.Units = ripwrightv1.PictureUnits_PICTURE_UNITS_INCH
			}
			if j.at.given() {
				if q.Setting, err = j.at.read(t); err != nil {
					return err
				}
			}
			j.choose(q)
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			a, err := call(c.Context(), t, s.DrawPlan, q, j.where(b, j.at.where("setting.")))
			if err != nil {
				return err
			}
			if err := t.drawn(a, to); err != nil {
				return failed(err)
			}
			if n := len(a.GetBrokenRules()); n > 0 {
				return coded{fmt.Errorf("the setting breaks %s, as the picture says; do not saw by it", many(n, "rule")), statusBroken}
			}
			return nil
		},
	}
	j.flags(c)
	c.Flags().StringVarP(&to, "output", "o", "", "`file` to write the picture to; without it the picture goes to standard output")
	return c
}

func (t *tool) drawn(a *ripwrightv1.DrawPlanResponse, to string) error {
	if t.json {
		return t.writeJSON(a)
	}
	if to == "" || to == "-" {
		_, err := fmt.Fprint(t.out, a.GetSvg())
		return err
	}
	if err := os.WriteFile(to, []byte(a.GetSvg()), 0o644); err != nil {
		return err
	}
	fmt.Fprintf(t.out, "%s: board %s, worth %.2f, yield %.1f %%\n", to, a.GetBoardId(), a.GetPlan().GetWorth(), 100*a.GetPlan().GetAccount().GetYieldRatio())
	return nil
}
