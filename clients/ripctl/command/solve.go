package command

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func solve(t *tool) *cobra.Command {
	j := &job{t: t}
	how := &search{}
	by := &instructions{}
	var save string
	var mustProve bool
	c := &cobra.Command{
		Use:   "solve --saw-file saws.yaml --order order.yaml boards.jsonl...",
		Short: "Find the most valuable way to rip boards, one after another",
		Long: `Gives the most valuable way to rip boards, one after another.  What a board
makes counts towards the order before the next one, and fence and blades move on
from where it left them. Nothing is sawn: the answers are advice.

--force, --forbid, --lock and --least-yield say what the operator wants of every
board; the answer says what that costs. They only choose among plans and hold no
blade: at the machine, secure any blade that must not move.`,
		RunE: func(c *cobra.Command, args []string) error {
			if err := j.load(args); err != nil {
				return err
			}
			asked, err := by.read()
			if err != nil {
				return err
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			r := newReport(t, len(j.boards))
			unproven := 0
			for _, b := range j.boards {
				q := &ripwrightv1.SolveBoardRequest{Board: b.Board, Order: j.order, Options: how.options(), Instructions: asked}
				j.choose(q)
				a, err := call(c.Context(), t, s.SolveBoard, q, j.where(b, by.where))
				if err != nil {
					r.abandon()
					return fmt.Errorf("board %s: %w", b.name(), err)
				}
				if !a.GetProof().GetProven() {
					unproven++
				}
				if err := r.solved(b, a); err != nil {
					return failed(err)
				}
				if fed(a.GetDoNotFeed()) {
					j.carry(a.GetPlan(), a.GetFills())
				}
			}
			if err := r.end(j.order); err != nil {
				return failed(err)
			}
			if save != "" {
				if err := saveOrder(save, j.order); err != nil {
					return failed(err)
				}
			}
			if mustProve && unproven > 0 {
				return coded{fmt.Errorf("%d of %d plans are not proven; give the search longer or omit --must-prove", unproven, len(j.boards)), statusProof}
			}
			return nil
		},
	}
	j.flags(c)
	how.flags(c.Flags(), true)
	by.flags(c.Flags())
	c.Flags().StringVar(&save, "save-order", "", "write the order with what is then made to this `file`, as JSON")
	c.Flags().BoolVar(&mustProve, "must-prove", false, "end with status 6 unless every plan is proven to be the best")
	return c
}

// name is the name of a board in messages.
func (b board) name() string {
	if id := b.GetBoardId(); id != "" {
		return id
	}
	return fmt.Sprintf("no. %d of %s", b.index+1, b.file.Name)
}

// saveOrder writes an order atomically.
func saveOrder(name string, o *ripwrightv1.CutOrder) error {
	text, err := protojson.MarshalOptions{UseProtoNames: true, Multiline: true}.Marshal(o)
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".ripctl-*")
	if err != nil {
		return err
	}
	defer func() { _ = os.Remove(f.Name()) }() // it no longer exists after the rename
	if _, err := f.Write(append(text, '\n')); err != nil {
		_ = f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
