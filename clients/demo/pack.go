package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"text/tabwriter"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// report is what became of a pack on one saw.
type report struct {
	saw      string
	boards   int
	proven   int
	order    *ripwrightv1.CutOrder // with what was made
	strips   map[string]int
	face     ripwrightv1.Account
	solve    []float64 // us a board
	duration time.Duration
}

// pictures is how many boards are drawn for each saw.
const pictures = 4

// rip sends the boards one after the other. What is made travels with the order
// from answer to answer, and fence and blades start where the last board left
// them: the service itself keeps nothing.
func rip(ctx context.Context, client ripwrightv1.RipServiceClient, boards []*ripwrightv1.Board,
	s *ripwrightv1.Saw, o *ripwrightv1.CutOrder, number int,
) (*report, error) {
	s, o = proto.CloneOf(s), proto.CloneOf(o)
	r := &report{saw: s.GetName(), order: o, strips: map[string]int{}}
	var stands *ripwrightv1.Setting // where the board before left fence and blades
	start := time.Now()
	for i, b := range boards {
		a, err := client.SolveBoard(ctx, &ripwrightv1.SolveBoardRequest{
			Board: b, SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: s}, CurrentSetting: stands, Order: o,
		})
		if err != nil {
			return nil, fmt.Errorf("board %s: %w", b.GetBoardId(), err)
		}
		if i < pictures {
			name := filepath.Join(out, fmt.Sprintf("saw%d-%s.svg", number+1, b.GetBoardId()))
			d, err := client.DrawPlan(ctx, &ripwrightv1.DrawPlanRequest{
				Board: b, SawChoice: &ripwrightv1.DrawPlanRequest_Saw{Saw: s}, CurrentSetting: stands, Order: o,
			})
			if err != nil {
				return nil, fmt.Errorf("drawing board %s: %w", b.GetBoardId(), err)
			}
			if err := os.WriteFile(name, []byte(d.GetSvg()), 0o600); err != nil {
				return nil, err
			}
		}
		r.add(a)
		for _, f := range a.GetFills() { // of the items that the plan makes
			for _, it := range o.GetItems() {
				if it.GetItemId() == f.GetItemId() {
					it.Made = f.GetMadeAfter()
				}
			}
		}
		stands = a.GetPlan().GetSetting()
	}
	r.duration = time.Since(start)
	return r, nil
}

func (r *report) add(a *ripwrightv1.SolveBoardResponse) {
	r.boards++
	if a.GetProof().GetProven() {
		r.proven++
	}
	acc := a.GetPlan().GetAccount()
	r.face.FaceM2 += acc.GetFaceM2()
	r.face.StripM2 += acc.GetStripM2()
	r.face.EndTrimM2 += acc.GetEndTrimM2()
	r.face.OffcutM2 += acc.GetOffcutM2()
	r.face.EdgingM2 += acc.GetEdgingM2()
	r.face.KerfM2 += acc.GetKerfM2()
	for _, p := range a.GetPlan().GetPockets() {
		if p.GetItemId() != "" {
			r.strips[p.GetItemId()]++
		}
	}
	r.solve = append(r.solve, a.GetSolveTimeUs())
}

func (r *report) print(w io.Writer) {
	fmt.Fprintf(w, "\nArbor: %s\n", r.saw)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "item\twidth mm\trequired\tmade\tstill open\tstrips\t")
	for _, it := range r.order.GetItems() {
		width := fmt.Sprintf("%g", it.GetWidthMm())
		if g := it.GetRange(); g != nil {
			width = fmt.Sprintf("%g to %g", g.GetMinMm(), g.GetMaxMm())
		}
		unit, need, made := "m", it.GetRequired().GetLengthM(), it.GetMade().GetLengthM()
		if it.GetRequired().GetAreaM2() > 0 {
			unit, need, made = "m2", it.GetRequired().GetAreaM2(), it.GetMade().GetAreaM2()
		}
		fmt.Fprintf(t, "%s\t%s\t%.1f %s\t%.1f %s\t%.1f %s\t%d\t\n", it.GetItemId(), width,
			need, unit, made, unit, max(need-made, 0), unit, r.strips[it.GetItemId()])
	}
	_ = t.Flush()
	share := func(v float64) float64 { return 100 * v / r.face.GetFaceM2() }
	fmt.Fprintf(w, "yield %.1f %% of %.1f m2; the rest: end trim %.1f %%, offcut %.1f %%, edging %.1f %%, kerf %.1f %%\n",
		share(r.face.GetStripM2()), r.face.GetFaceM2(), share(r.face.GetEndTrimM2()), share(r.face.GetOffcutM2()),
		share(r.face.GetEdgingM2()), share(r.face.GetKerfM2()))
	slices.Sort(r.solve)
	at := func(q float64) float64 { return r.solve[int(q*float64(len(r.solve)-1))] / 1000 }
	fmt.Fprintf(w, "%d boards, %d proven optimal; %.0f boards a minute; solve time %.2f ms at the median, %.2f ms at the 99th percentile\n",
		r.boards, r.proven, float64(r.boards)/r.duration.Minutes(), at(0.5), at(0.99))
}
