package command

import (
	"fmt"
	"maps"
	"slices"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

func share(t *tool) *cobra.Command {
	var save map[string]string
	c := &cobra.Command{
		Use:   "share lines.yaml",
		Short: "Share an order among the lines that work on it",
		Long: `Shares an order among the lines that work on it, so that nothing is made twice
and all of them end together. The file has the order, and of each line its saw,
its pace, and what it has made and reserved so far. What each line gets is an
order of its own, for its set-up or as a change of its order: share again every
few dozen boards, and when a line stands or ends.

An answer may take a while: --timeout is 10m here unless you say otherwise.`,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("name one file with an order and its lines, such as %s lines.yaml", c.CommandPath())
			}
			f, err := t.open(args[0], files.Lines)
			if err != nil {
				return err
			}
			q := &ripwrightv1.ShareOrderRequest{}
			if err := f.Into(0, q); err != nil {
				return failed(err)
			}
			for _, id := range slices.Sorted(maps.Keys(save)) {
				if !slices.ContainsFunc(q.GetLines(), func(l *ripwrightv1.SharingLine) bool { return l.GetLineId() == id }) {
					return usage("--save-order %s is for %q; %s has no such line", id, id, args[0])
				}
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
			a, err := call(c.Context(), t, ripwrightv1.NewPlanningServiceClient(s.conn).ShareOrder, q, at.at)
			if err != nil {
				return err
			}
			if err := t.shared(a); err != nil {
				return failed(err)
			}
			for _, l := range a.GetLines() {
				if to := save[l.GetLineId()]; to != "" {
					if err := saveOrder(to, l.GetOrder()); err != nil {
						return failed(err)
					}
				}
			}
			return unfilled(a.GetImpossible())
		},
	}
	c.Flags().StringToStringVar(&save, "save-order", nil, "`line=file`: write the order of a line to a file, as JSON")
	return c
}

func (t *tool) shared(a *ripwrightv1.ShareOrderResponse) error {
	switch {
	case t.json:
		return t.writeJSON(a)
	case t.csv:
		rows := [][]string{{"line_id", "item_id", "length_mm", "share_length_m", "share_area_m2", "share_pieces"}}
		for _, l := range a.GetLines() {
			for _, it := range l.GetItems() {
				if it.GetAmount() != nil {
					rows = append(rows, append([]string{l.GetLineId(), it.GetItemId(), ""}, amountCells(it.GetAmount())...))
				}
				for _, n := range it.GetLengths() {
					rows = append(rows, []string{l.GetLineId(), it.GetItemId(), exactly(n.GetLengthMm()), "", "", fmt.Sprint(n.GetPieces())})
				}
			}
		}
		return t.rows(rows)
	}
	w := newTable(t.out)
	head := "item"
	for _, l := range a.GetLines() {
		head += "\t" + l.GetLineId()
	}
	fmt.Fprintln(w, head+"\topen in all")
	for i, open := range a.GetOpen() {
		if open.GetAmount() != nil {
			row := open.GetItemId()
			for _, l := range a.GetLines() {
				row += "\t" + t.amount(l.GetItems()[i].GetAmount())
			}
			fmt.Fprintln(w, row+"\t"+t.amount(open.GetAmount()))
		}
		for n, length := range open.GetLengths() {
			row := open.GetItemId() + " " + t.width(length.GetLengthMm())
			for _, l := range a.GetLines() {
				row += fmt.Sprintf("\t%d", l.GetItems()[i].GetLengths()[n].GetPieces())
			}
			fmt.Fprintf(w, "%s\t%d\n", row, length.GetPieces())
		}
	}
	if a.GetValuesPlanned() {
		row := "boards, about"
		for _, l := range a.GetLines() {
			row += fmt.Sprintf("\t%.0f", l.GetBoards())
		}
		fmt.Fprintln(w, row+"\t")
	}
	if err := w.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(t.out)
	if a.Hours != nil {
		fmt.Fprintf(t.out, "All lines finish after about %s.\n", people.Time(60*a.GetHours()))
	}
	if !a.GetValuesPlanned() {
		fmt.Fprintln(t.out, "No values were planned: shares go by the lines' paces, and values are the order's own.")
	}
	for _, l := range a.GetLines() {
		if l.GetNothingLeft() {
			fmt.Fprintf(t.out, "Nothing is left for %s: do not feed it for this order.\n", l.GetLineId())
		}
	}
	t.impossible(a.GetImpossible())
	return nil
}

// amountCells puts an amount in the column of its unit: length, area, pieces.
func amountCells(a *ripwrightv1.Amount) []string {
	cells := []string{"", "", ""}
	switch is := a.GetAmount().(type) {
	case *ripwrightv1.Amount_LengthM:
		cells[0] = exactly(is.LengthM)
	case *ripwrightv1.Amount_AreaM2:
		cells[1] = exactly(is.AreaM2)
	case *ripwrightv1.Amount_Pieces:
		cells[2] = fmt.Sprint(is.Pieces)
	}
	return cells
}
