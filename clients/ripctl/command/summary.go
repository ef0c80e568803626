package command

import (
	"fmt"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// summary shows the result of a run.
func (t *tool) summary(s *ripwrightv1.RunSummary, fills []*ripwrightv1.Fill, o *ripwrightv1.CutOrder) error {
	a := s.GetAccount()
	if f := a.GetFaceM2(); f > 0 {
		fmt.Fprintf(t.out, "yield %.1f %% of %s, %.1f board feet; end trim %.1f %%, offcut %.1f %%, edging %.1f %%, kerf %.1f %%, not known %.1f %%\n",
			100*a.GetYieldRatio(), t.system().Area(f), a.GetBoardFeet(), 100*a.GetEndTrimM2()/f, 100*a.GetOffcutM2()/f, 100*a.GetEdgingM2()/f,
			100*a.GetKerfM2()/f, 100*a.GetOtherM2()/f)
	}
	if c := s.GetCycleS(); c > 0 {
		fmt.Fprintf(t.out, "%s at the saw by the estimate\n", people.Time(c/60))
	}
	if c := s.GetTimes(); c != nil {
		fmt.Fprintf(t.out, "ran %s, stopped %s", people.Time(c.GetRunningS()/60), people.Time(c.GetStandingS()/60))
		if c.BoardsPerHour != nil {
			fmt.Fprintf(t.out, "; %.0f boards an hour", c.GetBoardsPerHour())
		}
		if c.BoardsPerRunningHour != nil {
			fmt.Fprintf(t.out, ", %.0f an hour running", c.GetBoardsPerRunningHour())
		}
		fmt.Fprintln(t.out)
	}
	for _, c := range s.GetStops() {
		fmt.Fprintf(t.out, "Stopped for %q %s, %s\n", c.GetReason(), many(int(c.GetStops()), "time"), people.Time(c.GetStandingS()/60))
	}
	if b := s.GetBays(); b != nil {
		fmt.Fprintf(t.out, "stacks of the outfeed's bays changed %s, %s", many(int(b.GetChanges()), "time"), people.Time(b.GetChangingS()/60))
		if b.WorthRatio != nil {
			fmt.Fprintf(t.out, "; a limit of bays costs %.1f %% of the boards' worth, by %s", 100*b.GetWorthRatio(), many(int(b.GetBoardsMeasured()), "board"))
			if b.GetWorthRatioBound() > b.GetWorthRatio() {
				fmt.Fprintf(t.out, ", %.1f %% at most", 100*b.GetWorthRatioBound())
			}
		}
		fmt.Fprintln(t.out)
		for _, l := range b.GetLumber() {
			fmt.Fprintln(t.out, t.bayLumber(l))
		}
	}
	w := newTable(t.out)
	fmt.Fprintln(w, "\nitem\tstack\tstrips\tlength\tarea\tpanel")
	for _, i := range s.GetItems() {
		id, panel := i.GetItemId(), ""
		if id == "" {
			id = "-"
		}
		if len(s.GetOrders()) > 0 { // items of two orders may have the same name
			id = i.GetOrderId() + ": " + id
		}
		if i.PanelM != nil {
			panel = t.system().Lineal(i.GetPanelM())
		}
		fmt.Fprintf(w, "%s\t%s\t%d\t%s\t%s\t%s\n", id, i.GetStack(), i.GetStrips(), t.system().Lineal(i.GetLengthM()), t.system().Area(i.GetAreaM2()), panel)
	}
	fmt.Fprintln(w, "\npack\tboards\tface\tboard feet")
	for _, p := range s.GetPacks() {
		id := p.GetPackId()
		if id == "" {
			id = "-"
		}
		fmt.Fprintf(w, "%s\t%d\t%s\t%.1f\n", id, p.GetBoards(), t.system().Area(p.GetFaceM2()), p.GetBoardFeet())
	}
	if err := w.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(t.out, "\nThe order now")
	return t.lineFills(fills, o)
}

// bayLumber says how much more lumber an order takes because of bays.
func (t *tool) bayLumber(l *ripwrightv1.BayLumber) string {
	m2 := t.system().Area
	var b strings.Builder
	order := "the order"
	if l.GetOrderId() != "" {
		order += " " + l.GetOrderId()
	}
	fmt.Fprintf(&b, "%s took %s, %s", order, many(int(l.GetBoards()), "board"), m2(l.GetFaceM2()))
	if !l.GetFull() {
		b.WriteString(" so far")
	}
	switch {
	case l.ExtraFaceM2 == nil && l.GetFull():
		b.WriteString(", no more than without a limit of bays")
	case l.ExtraFaceM2 == nil:
		b.WriteString("; what the bays cost shows once it would be full without a limit")
	default:
		fmt.Fprintf(&b, "; without a limit of bays %s, %s: the bays cost %s", many(int(l.GetFreeBoards()), "board"), m2(l.GetFreeFaceM2()), m2(l.GetExtraFaceM2()))
		if l.ExtraRatio != nil {
			fmt.Fprintf(&b, ", %.1f %%", 100*l.GetExtraRatio())
		}
	}
	if n := l.GetBoardsUnproven(); n > 0 {
		fmt.Fprintf(&b, "; %s searched in part", many(int(n), "board"))
	}
	if n := l.GetBoardsUnsearched(); n > 0 {
		fmt.Fprintf(&b, "; %s counted the same in both", many(int(n), "board"))
	}
	return b.String()
}

// lineFills shows the state of each item of the order.
func (t *tool) lineFills(fills []*ripwrightv1.Fill, o *ripwrightv1.CutOrder) error {
	w := newTable(t.out)
	fmt.Fprintln(w, "item\twidth\trequired\tmade\tstill open")
	for i, f := range fills {
		it := o.GetItems()[i]
		required, open := "no limit", ""
		if f.GetRequired() != nil {
			required, open = t.amount(f.GetRequired()), t.amount(f.GetOpen())
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", f.GetItemId(), t.widthOf(it), required, t.amount(f.GetMade()), open)
		for _, l := range f.GetLengths() {
			required, open := "no limit", ""
			if l.Required != nil {
				required, open = fmt.Sprint(l.GetRequired(), " pieces"), fmt.Sprint(max(l.GetRequired()-l.GetMade(), 0), " pieces")
			}
			fmt.Fprintf(w, "  cut to %s\t\t%s\t%d pieces\t%s\n", t.long(l.GetLengthMm()), required, l.GetMade(), open)
		}
	}
	return w.Flush()
}

// summaryRows gives a table of a summary.
func summaryRows(kind string, s *ripwrightv1.RunSummary) [][]string {
	n := exactly
	var rows [][]string
	switch kind {
	case "items":
		rows = append(rows, []string{"order_id", "item_id", "stack", "strips", "length_m", "length_ft", "area_m2", "panel_m"})
		for _, i := range s.GetItems() {
			panel := ""
			if i.PanelM != nil {
				panel = n(i.GetPanelM())
			}
			rows = append(rows, []string{i.GetOrderId(), i.GetItemId(), i.GetStack(), fmt.Sprint(i.GetStrips()), n(i.GetLengthM()), n(i.GetLengthFt()), n(i.GetAreaM2()), panel})
		}
	case "stacks":
		rows = append(rows, []string{"stack", "strips", "length_m", "area_m2", "item_ids"})
		for _, k := range s.GetStacks() {
			rows = append(rows, []string{k.GetStack(), fmt.Sprint(k.GetStrips()), n(k.GetLengthM()), n(k.GetAreaM2()), strings.Join(k.GetItemIds(), " ")})
		}
	case "stops":
		rows = append(rows, []string{"reason", "stops", "standing_s"})
		for _, c := range s.GetStops() {
			stood := ""
			if c.StandingS != nil {
				stood = n(c.GetStandingS())
			}
			rows = append(rows, []string{c.GetReason(), fmt.Sprint(c.GetStops()), stood})
		}
	case "packs":
		rows = append(rows, []string{"pack_id", "boards", "face_m2", "board_feet"})
		for _, p := range s.GetPacks() {
			rows = append(rows, []string{p.GetPackId(), fmt.Sprint(p.GetBoards()), n(p.GetFaceM2()), n(p.GetBoardFeet())})
		}
	}
	return rows
}
