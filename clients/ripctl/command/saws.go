package command

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/unit/people"
)

func saws(t *tool) *cobra.Command {
	return &cobra.Command{
		Use:   "saws saws.yaml",
		Short: "Show the saws in a file, blade by blade",
		Long: `Shows the saws in a file, blade by blade, each figure to the last digit that was
written. The service reads the same files, with --saws. Whether a saw could be set
up so is checked only by the service, when it plans a board.`,
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
		fmt.Fprintf(t.out, "Saw %s: kerf %s, step %s, least gap %s, least strip %s\n", s.GetName(), t.exact(s.GetKerfMm()),
			t.exact(s.GetStepMm()), t.exact(s.GetMinGapMm()), t.exact(s.GetMinStripWidthMm()))
		w := newTable(t.out)
		fmt.Fprintln(w, "what\tstands or moves")
		fmt.Fprintf(w, "fence\t%s\n", t.travel(s.GetFence()))
		for k, b := range s.GetBlades() {
			if m := b.GetMoving(); m != nil {
				fmt.Fprintf(w, "blade %d\t%s\n", k+1, t.travel(m))
			} else {
				fmt.Fprintf(w, "blade %d\tfixed at %s\n", k+1, t.exact(b.GetFixedMm()))
			}
		}
		for _, way := range s.GetTurns() {
			fmt.Fprintf(w, "turned %s\tcosts %v\n", turnWords(way.GetTurn()), way.GetCost())
		}
		t.rest(w, "", s.ProtoReflect())
		if err := w.Flush(); err != nil {
			return err
		}
	}
	return nil
}

// exact shows millimetres to the last digit, so that a listed saw can be compared with
// what was written.
func (t *tool) exact(mm float64) string {
	if t.system() == people.Metric {
		return exactly(mm) + " mm"
	}
	l, _ := unit.FromMM(mm)
	return strings.TrimSuffix(people.Inch.Exact(l), "in") + " in"
}

func (t *tool) travel(m *ripwrightv1.Travel) string {
	return t.exact(m.GetMinMm()) + " to " + t.exact(m.GetMaxMm())
}

// told are the fields of a saw with lines of their own.
var told = []protoreflect.Name{"name", "kerf_mm", "step_mm", "min_gap_mm", "min_strip_width_mm", "fence", "blades", "turns"}

// rest prints a line for every other field of a saw.
func (t *tool) rest(w io.Writer, of string, m protoreflect.Message) {
	all := m.Descriptor().Fields()
	for i := range all.Len() {
		f := all.Get(i)
		if !m.Has(f) || of == "" && slices.Contains(told, f.Name()) {
			continue
		}
		q, alias := file.QuantityOf(f)
		words := strings.TrimSpace(of + " " + strings.ReplaceAll(cmp.Or(alias, f.TextName()), "_", " "))
		switch v := m.Get(f); {
		case f.Message() != nil:
			t.rest(w, words, v.Message())
		case q == file.Length:
			fmt.Fprintf(w, "%s\t%s\n", words, t.exact(v.Float()))
		case q == file.Feed:
			fmt.Fprintf(w, "%s\t%s\n", words, t.system().Feed(v.Float()))
		case q == file.Speed:
			fmt.Fprintf(w, "%s\t%s\n", words, t.system().Speed(v.Float()))
		case q == file.Seconds:
			fmt.Fprintf(w, "%s\t%s\n", words, t.system().Seconds(v.Float()))
		default:
			fmt.Fprintf(w, "%s\t%v\n", words, v)
		}
	}
}

// turnWords says how a board is turned: end for end, edge over edge, end over end.
func turnWords(turn ripwrightv1.BoardTurn) string {
	return strings.ToLower(strings.ReplaceAll(strings.TrimPrefix(turn.String(), "BOARD_TURN_"), "_", " "))
}

func (t *tool) sawRows(all []*ripwrightv1.Saw) error {
	w := csv.NewWriter(t.out)
	n := exactly
	_ = w.Write([]string{"saw", "what", "min_mm", "max_mm"}) // Flush reports errors
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
