package command

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/ripctl/replay"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func replayed(t *tool) *cobra.Command {
	j := &job{t: t}
	turns := false
	c := &cobra.Command{
		Use:   "replay recording.jsonl",
		Short: "Plan recorded boards again, for another saw or order if you like",
		Long: `Plans the boards of a recording again, which the service makes with its setting
record, and compares worth, yield, fill and cycle times. With --saw-file or --order
it plans them for another saw or another order, each board from where the one before
left order and saw; otherwise every board exactly as it was recorded. --turn-boards
shows what turning boards as the saw allows would bring.`,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("name one recording, such as %s recording.jsonl, or - for standard input", c.CommandPath())
			}
			change, err := j.change()
			if err != nil {
				return err
			}
			change.Turns = turns
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			from := t.in
			if args[0] != "-" {
				f, err := os.Open(args[0])
				if errors.Is(err, fs.ErrNotExist) {
					return input("there is no file %s; the service's setting record says where its recording is", args[0])
				} else if err != nil {
					return input("%w", err)
				}
				defer func() { _ = f.Close() }() // only read
				from = f
			}
			r, err := replay.Run(c.Context(), from, func(ctx context.Context, q *ripwrightv1.SolveBoardRequest) (*ripwrightv1.SolveBoardResponse, error) {
				ctx, cancel := context.WithTimeout(ctx, t.timeout)
				defer cancel()
				return s.SolveBoard(ctx, q)
			}, change)
			var wrong *replay.Mistake
			if errors.As(err, &wrong) {
				return input("%s: %w", args[0], err)
			}
			if err != nil {
				return t.explain(err, func(path string) string { return path })
			}
			return failed(t.replayed(r))
		},
	}
	j.sawFlags(c)
	j.orderFlag(c)
	c.Flags().BoolVar(&turns, "turn-boards", false, "let plans turn boards as the saw allows")
	return c
}

// change is what differs in a replay.
func (j *job) change() (c replay.Change, err error) {
	if j.sawFile != "" || j.sawName != "" {
		if err := j.loadSaw(); err != nil {
			return c, err
		}
		c.Saw = j.saw
		if j.saw == nil {
			c.SawName = j.sawName
		}
	}
	if j.orderAt != "" {
		if err := j.loadOrder(); err != nil {
			return c, err
		}
		c.Order = j.order
	}
	return c, nil
}

// comparison is one line of what a replay changed.
type comparison struct {
	What     string  `json:"what"`
	Order    string  `json:"order_id,omitempty"`
	Item     string  `json:"item_id,omitempty"`
	Recorded float64 `json:"recorded"`
	Replayed float64 `json:"replayed"`
}

func comparisons(r *replay.Report) []comparison {
	a, b := &r.Recorded, &r.Then
	all := []comparison{{What: "worth", Recorded: a.Worth, Replayed: b.Worth},
		{What: "face_m2", Recorded: a.FaceM2, Replayed: b.FaceM2},
		{What: "yield", Recorded: a.Yield(), Replayed: b.Yield()}}
	if a.Turned > 0 || b.Turned > 0 {
		all = append(all, comparison{What: "turned_boards", Recorded: float64(a.Turned), Replayed: float64(b.Turned)},
			comparison{What: "turn_cost", Recorded: a.TurnCost, Replayed: b.TurnCost})
	}
	if a.Cycles == r.Boards && b.Cycles == r.Boards {
		all = append(all, comparison{What: "cycle_s", Recorded: a.CycleS, Replayed: b.CycleS})
	}
	items := maps.Clone(a.Items)
	maps.Copy(items, b.Items)
	keys := slices.SortedFunc(maps.Keys(items), func(x, y replay.Item) int {
		return cmp.Or(cmp.Compare(x.OrderID, y.OrderID), cmp.Compare(x.ItemID, y.ItemID))
	})
	for _, k := range keys {
		x, y := a.Of(k), b.Of(k)
		all = append(all, comparison{"strips", k.OrderID, k.ItemID, float64(x.Strips), float64(y.Strips)},
			comparison{"length_m", k.OrderID, k.ItemID, x.LengthM, y.LengthM}, comparison{"area_m2", k.OrderID, k.ItemID, x.AreaM2, y.AreaM2})
	}
	return all
}

func (t *tool) replayed(r *replay.Report) error {
	all := comparisons(r)
	switch {
	case t.json:
		out := struct {
			Boards      int               `json:"boards"`
			Same        int               `json:"same_plan"`
			Comparisons []comparison      `json:"comparisons"`
			Refused     map[string]string `json:"refused"`
			Torn        []int             `json:"torn_lines"`
			Withheld    []int             `json:"withheld_lines"`
		}{r.Boards, r.Same, all, map[string]string{}, []int{}, append([]int{}, r.Passed.Withheld...)}
		for _, m := range r.Passed.Torn {
			out.Torn = append(out.Torn, m.Line)
		}
		for _, f := range r.Refused {
			out.Refused[f.BoardID] = f.Err.Error()
		}
		return json.NewEncoder(t.out).Encode(out)
	case t.csv:
		rows := [][]string{{"what", "order_id", "item_id", "recorded", "replayed"}}
		for _, c := range all {
			rows = append(rows, []string{c.What, c.Order, c.Item, exactly(c.Recorded), exactly(c.Replayed)})
		}
		return t.rows(rows)
	}
	fmt.Fprintf(t.out, "%s replayed, %d with the plan that was recorded, %d refused\n\n", many(r.Boards, "board"), r.Same, len(r.Refused))
	w := newTable(t.out)
	fmt.Fprintln(w, "\trecorded\treplayed\tmore")
	for _, c := range all {
		name, show := t.replayedAs(c)
		if show == nil {
			continue
		}
		sign := "+"
		if c.Replayed < c.Recorded {
			sign = ""
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s%s\n", name, show(c.Recorded), show(c.Replayed), sign, show(c.Replayed-c.Recorded))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for _, f := range r.Refused {
		fmt.Fprintf(t.out, "Refused: %s: %v\n", f.BoardID, f.Err)
	}
	for _, m := range r.Passed.Torn {
		fmt.Fprintf(t.out, "Skipped: line %d is incomplete\n", m.Line)
	}
	for _, n := range r.Passed.Withheld {
		fmt.Fprintf(t.out, "Skipped: line %d has no plan; the service withheld it\n", n)
	}
	return nil
}

// replayedAs gives the name of a comparison and how it is shown; nil: not shown.
func (t *tool) replayedAs(c comparison) (string, func(float64) string) {
	format := func(f string, times float64) func(float64) string {
		return func(v float64) string { return fmt.Sprintf(f, v*times) }
	}
	item := c.Item
	if c.Order != "" {
		item = c.Order + ", " + item
	}
	switch c.What {
	case "worth":
		return "worth", format("%.2f", 1)
	case "turned_boards":
		return "boards turned", format("%.0f", 1)
	case "turn_cost":
		return "turning them costs", format("%.2f", 1)
	case "face_m2":
		return "face", t.system().Area
	case "yield":
		return "yield", format("%.2f %%", 100)
	case "cycle_s":
		return "cycle times", format("%.1f s", 1)
	case "length_m":
		return item, t.system().Lineal
	}
	return "", nil
}
