package command

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// lineTables are the tables that --table selects.
var lineTables = []string{"plans", "items", "stacks", "packs", "stops"}

// lineReport shows a run's answers in the requested form.
type lineReport struct {
	t        *tool
	kind     string // the table that --csv writes
	boards   int
	done     int
	table    *tabwriter.Writer
	bar      *progress
	refused  []string // boards, with the reason
	idle     []string // boards that are not worth feeding, and why
	released []string // boards whose reservation ended
	doubted  []string // boards, with what is unlikely about their strips
	late     int      // refused boards for which the service had no time
	unproven int
	warned   map[string]bool
	drifts   []string // in words
	overlap  bool     // boards may serve two orders
	bays     []string // what they got, from which board on
	told     int      // boards with instructions whose cost is known
	cost     float64  // total cost of their instructions
}

func newLineReport(t *tool, kind string, boards int) *lineReport {
	return &lineReport{t: t, kind: kind, boards: boards, bar: t.progress("boards"), warned: map[string]bool{}}
}

// write writes an answer as JSON if that was requested. It leaves out the state, which is
// opaque and holds the order and the saw.
func (r *lineReport) write(a *ripwrightv1.RunLineResponse) error {
	if !r.t.json {
		return nil
	}
	a = proto.CloneOf(a)
	a.State = nil
	return r.t.writeJSON(a)
}

// ready starts the report with the answer to the set-up.
func (r *lineReport) ready(a *ripwrightv1.RunLineResponse) error {
	switch {
	case r.t.json:
		return r.write(a)
	case r.t.csv && r.kind == "plans":
		if r.overlap {
			return r.t.rows([][]string{append(csvHeader[:len(csvHeader):len(csvHeader)], "order_id")})
		}
		return r.t.rows([][]string{csvHeader})
	case r.t.csv:
		return nil
	}
	r.stacks(a.GetStarted().GetReady().GetStackWarnings())
	r.table = newTable(r.t.out)
	fmt.Fprintln(r.table, "board\tfence\tblades\tstrips\tworth\tyield\tseconds\tproven")
	return nil
}

// planned shows a plan, or why there is none.
func (r *lineReport) planned(b board, a *ripwrightv1.RunLineResponse, where func(string) string) error {
	r.done++
	r.bar.set(r.done, r.boards)
	p := a.GetPlan()
	if p == nil {
		f := a.GetRefused()
		if why := f.GetReason(); why == ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY || why == ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE {
			r.late++
		}
		r.refused = append(r.refused, fmt.Sprintf("%s (%s) %s", b.name(), wordOf(f.GetReason()), strings.Join(faults(f, where), "; ")))
	} else if !p.GetProof().GetProven() {
		r.unproven++
	}
	if n := p.GetInstructed(); n.GetFree() != nil {
		r.told++
		r.cost += n.GetCost()
	}
	if d := p.GetDoNotFeed(); d != nil {
		r.idle = append(r.idle, b.name()+" "+d.GetSays())
	}
	for _, c := range p.GetBayChanges() {
		r.bays = append(r.bays, fmt.Sprintf("from board %s on bay %d takes %s", b.name(), c.GetBay(), lies(c)))
	}
	switch {
	case r.t.json:
		return r.write(a)
	case p == nil:
		if r.table != nil {
			fmt.Fprintf(r.table, "%s\trefused\n", b.name())
		}
		return nil
	case r.t.csv && r.kind == "plans":
		rows := csvRows(p.GetBoardId(), p.GetPlan())
		for i := range rows {
			if r.overlap {
				rows[i] = append(rows[i], p.GetPlan().GetPockets()[i].GetOrderId())
			}
		}
		return r.t.rows(rows)
	case r.t.csv:
		return nil
	}
	cycle := "-"
	if c := p.GetCycle(); c != nil {
		cycle = fmt.Sprintf("%.1f", c.GetTotalS())
	}
	_, err := fmt.Fprintf(r.table, "%s\t%s\t%s\t%s\t%.2f\t%.1f %%\t%s\t%s\n", b.name(), r.t.width(p.GetPlan().GetSetting().GetFenceMm()), r.t.positions(p.GetPlan().GetSetting().GetBladesMm()),
		strips(p.GetPlan()), p.GetPlan().GetWorth(), 100*p.GetPlan().GetAccount().GetYieldRatio(), cycle, yesNo(p.GetProof().GetProven()))
	return err
}

// lies describes the contents of a bay.
func lies(b *ripwrightv1.OutfeedBay) string {
	items := strings.Join(b.GetItemIds(), ", ")
	if next := strings.Join(b.GetNextItemIds(), ", "); next != "" {
		if items != "" {
			items += "; "
		}
		items += "for the next order " + next
	}
	if b.GetStack() == "" {
		return items
	}
	return fmt.Sprintf("stack %s: %s", b.GetStack(), items)
}

// settled records what is unlikely about the strips of a board, and drifts.
func (r *lineReport) settled(b board, a *ripwrightv1.RunLineResponse, where func(string) string) error {
	for _, d := range a.GetSettled().GetDoubts() {
		r.doubted = append(r.doubted, fmt.Sprintf("%s (%s) %s %s", b.name(), wordOf(d.GetKind()), where(d.GetPath()), d.GetSays()))
	}
	for _, d := range a.GetSettled().GetDrifts() {
		r.drifts = append(r.drifts, fmt.Sprintf("from board %s on %s", b.name(), d.GetSays()))
	}
	for _, u := range a.GetReleased() {
		r.released = append(r.released, u.GetBoardId())
	}
	return r.write(a)
}

func (r *lineReport) stacks(all []*ripwrightv1.StackWarning) {
	for _, w := range all {
		fmt.Fprintf(r.t.out, "The stacker could mix %s and %s: they are %s apart and go to different stacks\n", ofOrder(w.GetItemId(), w.GetOrderId()), ofOrder(w.GetOtherItemId(), w.GetOtherOrderId()), r.t.width(w.GetApartMm()))
	}
}

// abandon ends the output where it was interrupted.
func (r *lineReport) abandon() {
	r.bar.end()
	if r.table != nil && r.done > 0 {
		_ = r.table.Flush()
	}
}

// end completes the report with the summary, and with the state of the order and of those
// that waited for it.
func (r *lineReport) end(a *ripwrightv1.RunLineResponse, fills []*ripwrightv1.Fill, o *ripwrightv1.CutOrder, next []*ripwrightv1.CutOrder) error {
	r.abandon()
	s := a.GetSummary()
	switch {
	case r.t.json:
		return r.write(a)
	case r.t.csv && r.kind == "plans":
		return nil
	case r.t.csv:
		return r.t.rows(summaryRows(r.kind, s))
	}
	var parts []string
	for _, o := range s.GetOutcomes() {
		parts = append(parts, fmt.Sprintf("%d %s", o.GetBoards(), wordOf(o.GetOutcome())))
	}
	fmt.Fprintf(r.t.out, "\n%s planned, %d refused", many(int(s.GetPlanned()), "board"), s.GetRefused())
	if len(parts) > 0 {
		fmt.Fprintf(r.t.out, "; %s", strings.Join(parts, ", "))
	}
	fmt.Fprintln(r.t.out)
	for _, f := range r.refused {
		fmt.Fprintf(r.t.out, "Refused: %s\n", f)
	}
	if r.told > 0 {
		fmt.Fprintf(r.t.out, "The instructions cost %.2f over %d boards, by what the plans with and without them are worth.\n", r.cost, r.told)
	}
	for _, d := range r.idle {
		fmt.Fprintf(r.t.out, "Nothing to gain: %s\n", d)
	}
	if len(r.released) > 0 {
		fmt.Fprintf(r.t.out, "Released as not cut, since boards after them were cut: %s\n", strings.Join(r.released, ", "))
	}
	for _, d := range r.doubted {
		fmt.Fprintf(r.t.out, "Counted, but look again: %s\n", d)
	}
	for _, d := range r.drifts {
		fmt.Fprintf(r.t.out, "Widths: %s\n", d)
	}
	for _, d := range r.bays {
		fmt.Fprintf(r.t.out, "Outfeed: %s\n", d)
	}
	if err := r.t.summary(s, fills, o); err != nil {
		return err
	}
	for _, of := range s.GetOrders() {
		for _, o := range next {
			if o.GetOrderId() != of.GetOrderId() {
				continue
			}
			fmt.Fprintf(r.t.out, "\nThe order %s now\n", o.GetOrderId())
			if err := r.t.lineFills(of.GetFills(), o); err != nil {
				return err
			}
		}
	}
	return nil
}

// verdict gives the run's error, for its exit status.
func (r *lineReport) verdict(mustProve bool) error {
	switch n := len(r.refused); {
	case r.late > 0:
		return coded{fmt.Errorf("%s of %d got no plan in time; try again with fewer boards at once or more time", many(r.late, "board"), r.boards), statusServer}
	case n > 0:
		return input("%s of %d refused:\n%s", many(n, "board"), r.boards, strings.Join(r.refused, "\n"))
	case mustProve && r.unproven > 0:
		return coded{fmt.Errorf("%d of %d plans are not proven; give the search longer or omit --must-prove", r.unproven, r.boards), statusProof}
	}
	return nil
}
