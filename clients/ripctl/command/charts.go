package command

import (
	"fmt"
	"os"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/chart"
)

// writeChart writes a page of charts to a file.
func (t *tool) writeChart(name, title string, panels ...chart.Panel) error {
	if err := os.WriteFile(name, chart.Draw(title, panels...), 0o644); err != nil {
		return input("--chart: %w", err)
	}
	if !t.json && !t.csv {
		fmt.Fprintf(t.out, "\n%s: %s\n", name, title)
	}
	return nil
}

// quoteChart draws how an order fills, and what it costs at each confidence.
func (t *tool) quoteChart(name string, o *ripwrightv1.CutOrder, all []*ripwrightv1.QuoteOutcome) error {
	q := all[0]
	boards := q.GetBoards().GetMean()
	fill := chart.Lines{Title: "How the order fills", Note: fmt.Sprintf("Mean of %s, at every tenth of a simulation, over the boards that one takes on average.", many(int(q.GetSimulations()), "simulation")),
		X: chart.Axis{Says: "boards ripped"}, Y: chart.Axis{Says: "filled, %", From: 0, To: 100}}
	for _, it := range q.GetItems() {
		l := chart.Line{Name: it.GetItemId(), Points: []chart.Point{{}}}
		if v := it.GetLengthMm(); v > 0 {
			l.Name += ", cut to " + t.long(v)
		}
		for i, part := range it.GetFill() {
			l.Points = append(l.Points, chart.Point{X: boards * float64(i+1) / float64(len(it.GetFill())), Y: 100 * min(part, 1)})
		}
		fill.Lines = append(fill.Lines, l)
	}
	if q.GetCost().GetUpper() == 0 { // no lot has a price
		return t.writeChart(name, title(o)+" by "+valueNames[q.GetValues()], fill)
	}
	cost := chart.Lines{Title: "What the lumber costs", Note: "Probability that one more simulation costs no more than this.",
		X: chart.Axis{Says: "confidence, %", From: 0, To: 100}, Y: chart.Axis{Says: "money"}, Lines: costs(all)}
	return t.writeChart(name, title(o)+" by "+valueNames[q.GetValues()], fill, cost)
}

// costs gives a line for each outcome, of the cost of lumber by confidence: of n
// simulations one more costs no more than the r-th with probability r / (n + 1).
func costs(all []*ripwrightv1.QuoteOutcome) (lines []chart.Line) {
	for _, o := range all {
		l := chart.Line{Name: valueNames[o.GetValues()]}
		for r, c := range o.GetSimulationCosts() {
			l.Points = append(l.Points, chart.Point{X: 100 * float64(r+1) / float64(len(o.GetSimulationCosts())+1), Y: c})
		}
		lines = append(lines, l)
	}
	return lines
}

// levelOf is the level, or the service's default if a request leaves it out.
func levelOf(level float64) float64 {
	if level == 0 {
		return 0.9
	}
	return level
}

// arborChart draws what settings of the fixed blades are worth.
func (t *tool) arborChart(name string, a *ripwrightv1.PlanArborResponse, level float64) error {
	c := chart.Bars{Title: "Worth of a mean board", Note: fmt.Sprintf("Lines at the ends: the interval of its worth against today's, %g times in 100.", 100*level),
		Axis: chart.Axis{Says: "money a board"}}
	for _, s := range arborRows(a) {
		b := chart.Bar{Name: s.name, Says: t.positions(s.GetFixedMm()), Value: s.GetWorth(),
			Shown: fmt.Sprintf("%.3f", s.GetWorth()), Given: s.name == today}
		b.Low, b.High = b.Value, b.Value
		if !b.Given {
			base := a.GetToday().GetWorth()
			b.Low, b.High = base+s.GetGain().GetLower(), base+s.GetGain().GetUpper()
			b.Says += fmt.Sprintf("; %s to move", many(int(s.GetBladesMoved()), "blade"))
		}
		c.Bars = append(c.Bars, b)
	}
	return t.writeChart(name, "Where the fixed blades could stand", c)
}
