package command

import (
	"bytes"
	_ "embed" // for the page
	"fmt"
	"html/template"
	"os"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

//go:embed shiftreport.html
var shiftPage string

var shiftTemplate = template.Must(template.New("shift").Parse(shiftPage))

// What a page has room for: the rest is counted in one line, and is in the tables of
// --csv.
const (
	mostItems = 11
	mostStops = 6
	mostPacks = 4
	mostNotes = 5
)

// shiftReport is the content of the page.
type shiftReport struct {
	Run, Order, Saw string
	Figures         []headline
	Running         float64 // in per cent of the total time; below 0: not known
	Ran, Stood      string
	Stops           rows
	Wood            []part
	Items           rows
	Packs           rows
	Outcomes        []string
	Notes           rows
}

// headline is one of the figures at the top.
type headline struct{ Value, Says string }

// part is a part of the face, in per cent of it.
type part struct {
	Says  string
	Share float64
	Area  string
}

// rows are the lines of a table and the number left out.
type rows struct {
	Lines [][]string
	More  int
}

// least keeps as many lines as there is room for.
func (r *rows) least(most int) rows {
	if over := len(r.Lines) - most; over > 1 {
		return rows{r.Lines[:most-1], over + 1}
	}
	return *r
}

// writeShift writes the shift's report as a page that prints on one sheet.
func (r *lineReport) writeShift(name string, s *ripwrightv1.RunSummary, fills []*ripwrightv1.Fill, o *ripwrightv1.CutOrder, saw string) error {
	var page bytes.Buffer
	if err := shiftTemplate.Execute(&page, r.shift(s, fills, o, saw)); err != nil {
		return failed(err)
	}
	if err := os.WriteFile(name, page.Bytes(), 0o644); err != nil {
		return input("--shift-report: %w", err)
	}
	if !r.t.json && !r.t.csv {
		fmt.Fprintf(r.t.out, "\n%s: shift report, to be printed on one sheet\n", name)
	}
	return nil
}

func (r *lineReport) shift(s *ripwrightv1.RunSummary, fills []*ripwrightv1.Fill, o *ripwrightv1.CutOrder, saw string) *shiftReport {
	t, times, a := r.t, s.GetTimes(), s.GetAccount()
	out := &shiftReport{Run: s.GetRunId(), Order: o.GetOrderId(), Saw: saw, Running: -1}
	cut := 0
	for _, c := range s.GetOutcomes() {
		out.Outcomes = append(out.Outcomes, fmt.Sprintf("%d %s", c.GetBoards(), wordOf(c.GetOutcome())))
		if wasCut(c.GetOutcome()) {
			cut += int(c.GetBoards())
		}
	}
	if n := s.GetRefused(); n > 0 {
		out.Outcomes = append(out.Outcomes, fmt.Sprintf("%d refused", n))
	}
	out.Figures = append(out.Figures, headline{fmt.Sprint(cut), "boards cut"})
	if times != nil && times.BoardsPerHour != nil {
		out.Figures = append(out.Figures, headline{fmt.Sprintf("%.0f", times.GetBoardsPerHour()), "boards an hour"})
	}
	if times != nil && times.BoardsPerRunningHour != nil {
		out.Figures = append(out.Figures, headline{fmt.Sprintf("%.0f", times.GetBoardsPerRunningHour()), "an hour running"})
	}
	if a.YieldRatio != nil {
		out.Figures = append(out.Figures, headline{fmt.Sprintf("%.1f %%", 100*a.GetYieldRatio()), "yield"})
	}
	if a.BoardFeet != nil {
		out.Figures = append(out.Figures, headline{fmt.Sprintf("%.0f", a.GetBoardFeet()), "board feet"})
	} else {
		out.Figures = append(out.Figures, headline{t.system().Area(a.GetFaceM2()), "face"})
	}
	if all := times.GetRunningS() + times.GetStandingS(); all > 0 {
		out.Running = 100 * times.GetRunningS() / all
		out.Ran, out.Stood = people.Time(times.GetRunningS()/60), people.Time(times.GetStandingS()/60)
	}
	for _, c := range s.GetStops() {
		reason, stood := c.GetReason(), "-"
		if reason == "" {
			reason = "not said"
		}
		if c.StandingS != nil {
			stood = people.Time(c.GetStandingS() / 60)
		}
		out.Stops.Lines = append(out.Stops.Lines, []string{reason, fmt.Sprint(c.GetStops()), stood})
	}
	out.Stops = out.Stops.least(mostStops)
	if f := a.GetFaceM2(); f > 0 {
		for _, p := range []struct {
			says string
			m2   float64
		}{{"strips", a.GetStripM2()}, {"edging", a.GetEdgingM2()}, {"offcut", a.GetOffcutM2()}, {"kerf", a.GetKerfM2()}, {"end trim", a.GetEndTrimM2()}, {"not known", a.GetOtherM2()}} {
			out.Wood = append(out.Wood, part{p.says, 100 * p.m2 / f, t.system().Area(p.m2)})
		}
	}
	out.Items = r.shiftItems(s, fills, o)
	for _, p := range s.GetPacks() {
		id := p.GetPackId()
		if id == "" {
			id = "no pack"
		}
		feet := "-"
		if p.BoardFeet != nil {
			feet = fmt.Sprintf("%.1f", p.GetBoardFeet())
		}
		out.Packs.Lines = append(out.Packs.Lines, []string{id, fmt.Sprint(p.GetBoards()), t.system().Area(p.GetFaceM2()), feet})
	}
	out.Packs = out.Packs.least(mostPacks)
	var bays []string
	for _, l := range s.GetBays().GetLumber() {
		bays = append(bays, t.bayLumber(l))
	}
	for _, n := range []struct {
		says string
		of   []string
	}{{"Refused", r.refused}, {"Counted, but look again", r.doubted}, {"Widths", r.drifts}, {"Nothing to gain", r.idle}, {"Taken as not cut", r.released}, {"Lumber by bays", bays}, {"Outfeed", r.bays}} {
		for _, one := range n.of {
			out.Notes.Lines = append(out.Notes.Lines, []string{n.says, one})
		}
	}
	out.Notes = out.Notes.least(mostNotes)
	return out
}

// shiftItems has a line for each item: what was made of it, and the state of the order.
func (r *lineReport) shiftItems(s *ripwrightv1.RunSummary, fills []*ripwrightv1.Fill, o *ripwrightv1.CutOrder) rows {
	t := r.t
	var all rows
	for i, it := range o.GetItems() {
		var strips int32
		var length, area float64
		var stacks []string
		for _, y := range s.GetItems() {
			if y.GetItemId() == it.GetItemId() && y.GetOrderId() == o.GetOrderId() {
				strips, length, area = strips+y.GetStrips(), length+y.GetLengthM(), area+y.GetAreaM2()
				stacks = append(stacks, y.GetStack())
			}
		}
		required, open := "no limit", ""
		if i < len(fills) && fills[i].GetRequired() != nil {
			required, open = t.amount(fills[i].GetRequired()), t.amount(fills[i].GetOpen())
		}
		all.Lines = append(all.Lines, []string{it.GetItemId(), t.widthOf(it), strings.Join(stacks, ", "), fmt.Sprint(strips), t.system().Lineal(length), t.system().Area(area), required, open})
	}
	return all.least(mostItems)
}
