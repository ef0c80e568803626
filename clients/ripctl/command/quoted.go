package command

import (
	"fmt"
	"strconv"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// quoted shows a quote.
func (t *tool) quoted(k *quoting, q *ripwrightv1.QuoteOrderRequest, a *ripwrightv1.QuoteOrderResponse) error {
	switch {
	case t.json:
		return t.writeJSON(a)
	case t.csv:
		if k.table == "lots" {
			return t.rows(lotRows(outcomes(a)))
		}
		return t.rows(quoteRows(k.table, outcomes(a)))
	}
	if a.GetQuote() == nil {
		fmt.Fprintf(t.out, "There is no quote: %s.\n", noFigures(a.GetResult()))
		t.impossible(a.GetImpossible())
		return nil
	}
	level := levelOf(q.GetLevel())
	for i, o := range outcomes(a) {
		if i > 0 {
			fmt.Fprintln(t.out)
		}
		says := fmt.Sprintf("one more falls into an interval %g times in 100", 100*level)
		if float64(o.GetSimulations()) < (2/(1-level)-1)*(1-1e-9) { // as the schema says about simulations
			says += ", if they are normally distributed: there are few of them"
		}
		if o.GetSimulations() < 2 {
			says = "too few for an interval"
		}
		fmt.Fprintf(t.out, "%s by %s: %s; %s\n\n", title(k.order), valueNames[o.GetValues()], many(int(o.GetSimulations()), "simulation"), says)
		if err := t.outcome(o, a.GetCurrency()); err != nil {
			return err
		}
	}
	o := a.GetQuote()
	fmt.Fprintln(t.out)
	if err := t.outcomeItems(q, o); err != nil {
		return err
	}
	if err := t.lots(a.GetLots()); err != nil {
		return err
	}
	if q.GetBuyList() != nil {
		if err := t.buyList(a); err != nil {
			return err
		}
	}
	by := q.GetObjective()
	if a.Cost != nil {
		fmt.Fprintf(t.out, "\nWith fractions of boards the order takes %s; no way to rip such boards takes less than %s on average.\n",
			t.costed(a.GetCost(), by, a.GetCurrency()), t.costed(a.GetBound(), by, a.GetCurrency()))
	}
	if a.WholeBoards != nil {
		fmt.Fprintf(t.out, "A plan that says for each board how it is ripped takes %s; simulations rip one board after another, as a line does.\n",
			many(int(a.GetWholeBoards()), "board"))
	}
	if a.GetAdvice() != "" {
		fmt.Fprintf(t.out, "Cut it by %s: %s.\n", valueNames[a.GetAdvised()], a.GetAdvice())
	}
	if a.GetEndedBy() != ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT {
		fmt.Fprintf(t.out, "The time limit ended the quote early: %s.\n", a.GetLeftUndone())
	}
	t.impossible(a.GetImpossible())
	t.warnings(a.GetWarnings())
	return nil
}

// noFigures says why a plan or a quote has no figures; empty: it has.
func noFigures(r ripwrightv1.PlanningResult) string {
	switch r {
	case ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE, ripwrightv1.PlanningResult_PLANNING_RESULT_WITHOUT_IMPOSSIBLE:
		return ""
	case ripwrightv1.PlanningResult_PLANNING_RESULT_IMPOSSIBLE:
		return "nothing that is open can be made"
	case ripwrightv1.PlanningResult_PLANNING_RESULT_UNFINISHED:
		return "some simulations ended before the order was filled"
	case ripwrightv1.PlanningResult_PLANNING_RESULT_STOPPED:
		return "a limit came first"
	default: // from a later release
		return wordOf(r)
	}
}

func title(o *ripwrightv1.CutOrder) string {
	if id := o.GetOrderId(); id != "" {
		return "Order " + id
	}
	return "The order"
}

var valueNames = map[ripwrightv1.ValueChoice]string{
	ripwrightv1.ValueChoice_VALUE_CHOICE_UNSPECIFIED: "",
	ripwrightv1.ValueChoice_VALUE_CHOICE_PLANNED:     "planned values",
	ripwrightv1.ValueChoice_VALUE_CHOICE_OWN:         "its own values",
	ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD:       "yield alone",
}

// outcomes gives the quote, followed by those it is compared with.
func outcomes(a *ripwrightv1.QuoteOrderResponse) []*ripwrightv1.QuoteOutcome {
	if a.GetQuote() == nil {
		return nil
	}
	return append([]*ripwrightv1.QuoteOutcome{a.GetQuote()}, a.GetOthers()...)
}

// figure is a line of a quote.
type figure struct {
	name, column string
	of           *ripwrightv1.Estimate
	show         func(float64) string
}

// figures of an outcome, those that were requested.
func (t *tool) figures(o *ripwrightv1.QuoteOutcome, currency string) []figure {
	inMoney := func(v float64) string { return money(v, currency) }
	digits := func(n int, unit string) func(float64) string {
		return func(v float64) string { return strconv.FormatFloat(v, 'f', n, 64) + unit }
	}
	var all []figure
	for _, f := range []figure{
		{"boards", "boards", o.GetBoards(), digits(1, "")},
		{"lumber", "board_feet", o.GetBoardFeet(), digits(0, " bd ft")},
		{"face", "face_m2", o.GetFaceM2(), t.system().Area},
		{"yield", "yield_ratio", o.GetYieldRatio(), func(v float64) string { return digits(1, " %")(100 * v) }},
		{"money", "cost", o.GetCost(), inMoney},
		{"saw time", "saw_hours", o.GetSawHours(), func(v float64) string { return people.Time(60 * v) }},
		{"shifts", "shifts", o.GetShifts(), digits(2, "")},
		{"boards set aside", "set_aside_boards", o.GetSetAsideBoards(), digits(1, "")},
		{"boards turned", "turned_boards", o.GetTurnedBoards(), digits(1, "")},
		{"turning them costs", "turn_cost", o.GetTurnCost(), inMoney},
		{"to feed again", "rerip_m2", o.GetReripM2(), t.system().Area},
		{"that is worth", "rerip_worth", o.GetReripWorth(), inMoney},
	} {
		if f.of.GetUpper() > 0 {
			all = append(all, f)
		}
	}
	return all
}

func (t *tool) outcome(o *ripwrightv1.QuoteOutcome, currency string) error {
	w := newTable(t.out)
	fmt.Fprintln(w, "\tmean\tfrom\tto")
	for _, f := range t.figures(o, currency) {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", f.name, f.show(f.of.GetMean()), f.show(f.of.GetLower()), f.show(f.of.GetUpper()))
	}
	return w.Flush()
}

// outcomeItems shows the outcome of each item.
func (t *tool) outcomeItems(q *ripwrightv1.QuoteOrderRequest, o *ripwrightv1.QuoteOutcome) error {
	items := map[string]*ripwrightv1.Item{}
	for _, it := range q.GetOrder().GetItems() {
		items[it.GetItemId()] = it
	}
	for _, further := range q.GetMoreOrders() {
		for _, it := range further.GetItems() {
			items[further.GetOrderId()+"/"+it.GetItemId()] = it
		}
	}
	w := newTable(t.out)
	fmt.Fprintln(w, "item\tmade\tfrom\tto\tfilled at board\tlast to fill in")
	for _, it := range o.GetItems() {
		show := func(v float64) string { return t.made(items[it.GetItemId()], it.GetLengthMm(), v) }
		name := it.GetItemId()
		if l := it.GetLengthMm(); l > 0 {
			name += ", cut to " + t.long(l)
		}
		m := it.GetMade()
		filled := "never"
		if v := it.GetFilledAtBoard().GetMean(); v > 0 {
			filled = strconv.FormatFloat(v, 'f', 0, 64)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%.0f %% of simulations\n", name, show(m.GetMean()), show(m.GetLower()), show(m.GetUpper()), filled, 100*it.GetHoldsOpen())
	}
	return w.Flush()
}

// made shows an amount of an item in the item's unit.
func (t *tool) made(it *ripwrightv1.Item, cut, v float64) string {
	switch it.GetRequired().GetAmount().(type) {
	case *ripwrightv1.Amount_LengthM:
		if cut == 0 {
			return t.system().Lineal(v)
		}
	case *ripwrightv1.Amount_AreaM2:
		if cut == 0 {
			return t.system().Area(v)
		}
	}
	return strconv.FormatFloat(v, 'f', 1, 64) + " pieces"
}

// quoteRows gives a table of all outcomes.
func quoteRows(table string, all []*ripwrightv1.QuoteOutcome) [][]string {
	rows := [][]string{{"values", "figure", "mean", "lower", "upper"}}
	switch table {
	case "items":
		rows[0] = []string{"values", "item_id", "length_mm", "made", "made_lower", "made_upper", "filled_at_board", "filled_lower", "filled_upper", "holds_open"}
	case "fill":
		rows[0] = []string{"values", "item_id", "length_mm", "part_of_simulation", "fill"}
	}
	n := exactly
	for _, o := range all {
		by := wordOf(o.GetValues())
		if table == "quote" {
			rows = append(rows, figureRows(by, o)...)
			continue
		}
		for _, it := range o.GetItems() {
			head := []string{by, it.GetItemId(), n(it.GetLengthMm())}
			if table == "items" {
				m, f := it.GetMade(), it.GetFilledAtBoard()
				rows = append(rows, append(head, n(m.GetMean()), n(m.GetLower()), n(m.GetUpper()), n(f.GetMean()), n(f.GetLower()), n(f.GetUpper()), n(it.GetHoldsOpen())))
				continue
			}
			for i, fill := range it.GetFill() {
				rows = append(rows, append(head[:3:3], n(float64(i+1)/float64(len(it.GetFill()))), n(fill)))
			}
		}
	}
	return rows
}

// figureRows gives all figures of an outcome; what does not apply is left out.
func figureRows(by string, o *ripwrightv1.QuoteOutcome) (rows [][]string) {
	for _, f := range []figure{
		{column: "boards", of: o.GetBoards()}, {column: "board_feet", of: o.GetBoardFeet()}, {column: "face_m2", of: o.GetFaceM2()},
		{column: "cost", of: o.GetCost()}, {column: "yield_ratio", of: o.GetYieldRatio()}, {column: "saw_hours", of: o.GetSawHours()},
		{column: "shifts", of: o.GetShifts()}, {column: "set_aside_boards", of: o.GetSetAsideBoards()},
		{column: "rerip_m2", of: o.GetReripM2()}, {column: "rerip_worth", of: o.GetReripWorth()},
	} {
		if f.of == nil {
			continue
		}
		rows = append(rows, []string{by, f.column, exactly(f.of.GetMean()), exactly(f.of.GetLower()), exactly(f.of.GetUpper())})
	}
	return rows
}
