package command

import (
	"encoding/csv"
	"fmt"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func saws(t *tool) *cobra.Command {
	return &cobra.Command{
		Use:   "saws saws.yaml",
		Short: "Show the saws in a file, blade by blade",
		Long: `Shows the saws in a file, blade by blade. Whether a saw could be set up so is
for the service to say, once a board is asked about.`,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("name one file with saws, such as ripctl saws saws.yaml")
			}
			f, err := t.open(args[0], files.Saws)
			if err != nil {
				return err
			}
			all := make([]*ripwrightv1.Saw, len(f.Messages))
			for i := range all {
				all[i] = &ripwrightv1.Saw{}
				if err := f.Into(i, all[i]); err != nil {
					return failed(err)
				}
			}
			return failed(t.saws(all))
		},
	}
}

func (t *tool) saws(all []*ripwrightv1.Saw) error {
	if t.csv {
		return t.sawRows(all)
	}
	for i, s := range all {
		if t.json {
			if err := t.writeJSON(s); err != nil {
				return err
			}
			continue
		}
		if i > 0 {
			fmt.Fprintln(t.out)
		}
		fmt.Fprintf(t.out, "Saw %s: kerf %s, step %s, least gap %s, least strip %s\n", s.GetName(), t.width(s.GetKerfMm()),
			t.width(s.GetStepMm()), t.width(s.GetMinGapMm()), t.width(s.GetMinStripWidthMm()))
		w := newTable(t.out)
		fmt.Fprintln(w, "what\tstands or moves")
		fmt.Fprintf(w, "fence\t%s\n", t.travel(s.GetFence()))
		for k, b := range s.GetBlades() {
			if m := b.GetMoving(); m != nil {
				fmt.Fprintf(w, "blade %d\t%s\n", k+1, t.travel(m))
			} else {
				fmt.Fprintf(w, "blade %d\tfixed at %s\n", k+1, t.width(b.GetFixedMm()))
			}
		}
		if err := w.Flush(); err != nil {
			return err
		}
	}
	return nil
}

func (t *tool) travel(m *ripwrightv1.Travel) string {
	return t.width(m.GetMinMm()) + " to " + t.width(m.GetMaxMm())
}

func (t *tool) sawRows(all []*ripwrightv1.Saw) error {
	w := csv.NewWriter(t.out)
	n := exactly
	_ = w.Write([]string{"saw", "what", "min_mm", "max_mm"}) // Flush tells what is wrong
	row := func(s *ripwrightv1.Saw, what string, m *ripwrightv1.Travel) {
		_ = w.Write([]string{s.GetName(), what, n(m.GetMinMm()), n(m.GetMaxMm())})
	}
	for _, s := range all {
		row(s, "fence", s.GetFence())
		for k, b := range s.GetBlades() {
			m := b.GetMoving()
			if m == nil {
				m = &ripwrightv1.Travel{MinMm: b.GetFixedMm(), MaxMm: b.GetFixedMm()}
			}
			row(s, fmt.Sprintf("blade %d", k+1), m)
		}
	}
	w.Flush()
	return w.Error()
}
