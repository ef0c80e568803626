package command

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"github.com/spf13/cobra"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func values(t *tool) *cobra.Command {
	p := &planning{job: job{t: t}}
	var objective, save string
	var setAside, gap float64
	var times map[string]string
	var keep []string
	var mustProve bool
	c := &cobra.Command{
		Use:   "values --saw-file saws.yaml --order order.yaml --lumber lumber.yaml",
		Short: "Plan the value per item that fills an order with the least lumber",
		Long: `Plans what each item of an order is to be worth, so that the whole order fills
with the least lumber, and says how little that can be at all. Cut with these
values, and plan again from what is open every few dozen boards.`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			by, err := numbered("objective", objective, ripwrightv1.PlanObjective(0).Descriptor())
			if err != nil {
				return err
			}
			rules, err := rulesOf(times, keep)
			if err != nil {
				return err
			}
			if err := p.loadOrder(); err != nil {
				return err
			}
			if err := p.load(); err != nil {
				return err
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			q := &ripwrightv1.PlanValuesRequest{Order: p.order, Lumber: p.lumber, Objective: ripwrightv1.PlanObjective(by),
				SetAsideLoss: &setAside, RelativeGap: unlessZero(gap), TimeLimitMs: unlessZero(p.limit), Rules: rules}
			p.choose(q)
			where := p.where(func(path string) (string, bool) { return ruleAt(path, rules) })
			a, err := call(c.Context(), t, ripwrightv1.NewPlanningServiceClient(s.conn).PlanValues, q, where)
			if err != nil {
				return err
			}
			if err := t.valued(a, q.GetObjective()); err != nil {
				return failed(err)
			}
			if save != "" {
				if err := saveOrder(save, withValues(p.order, a.GetValues())); err != nil {
					return failed(err)
				}
			}
			if mustProve && !a.GetProven() {
				return coded{fmt.Errorf("the values are not proven to be the best; give planning longer or omit --must-prove"), statusProof}
			}
			return unfilled(a.GetImpossible())
		},
	}
	p.orderFlags(c, &objective, &setAside)
	f := c.Flags()
	f.Float64Var(&gap, "relative-gap", 0, "how far the bound may stay below the cost, as a `part` of it; 0: 0.001")
	f.StringToStringVar(&times, "times", nil, "`item=factor`: the planned value times this, above 1 for what is due soon")
	f.StringSliceVar(&keep, "keep", nil, "`items` that keep the order's own value")
	f.StringVar(&save, "save-order", "", "write the order with these values to this `file`, as JSON")
	f.BoolVar(&mustProve, "must-prove", false, "end with status 6 unless the values are proven to be the best")
	return c
}

// rulesOf makes rules from the flags, in alphabetical order.
func rulesOf(times map[string]string, keep []string) (all []*ripwrightv1.ValueRule, err error) {
	for _, id := range slices.Sorted(maps.Keys(times)) {
		v, err := strconv.ParseFloat(times[id], 64)
		if err != nil {
			return nil, usage("--times %s is %q; write a number, such as --times %s=1.2", id, times[id], id)
		}
		all = append(all, &ripwrightv1.ValueRule{ItemId: id, Rule: &ripwrightv1.ValueRule_Times{Times: v}})
	}
	for _, id := range keep {
		all = append(all, &ripwrightv1.ValueRule{ItemId: id, Rule: &ripwrightv1.ValueRule_Keep{Keep: true}})
	}
	return all, nil
}

// ruleAt tells which flag a field of a rule came from.
func ruleAt(path string, rules []*ripwrightv1.ValueRule) (string, bool) {
	i := -1
	if _, err := fmt.Sscanf(path, "rules[%d]", &i); err != nil || i < 0 || i >= len(rules) {
		return "", false
	}
	if rules[i].GetKeep() {
		return "--keep " + rules[i].GetItemId(), true
	}
	return "--times " + rules[i].GetItemId(), true
}

// withValues gives the order with planned values. Crosscut items, whose lengths have the
// values, stay as they are.
func withValues(o *ripwrightv1.CutOrder, planned []*ripwrightv1.PlannedValue) *ripwrightv1.CutOrder {
	o = proto.CloneOf(o)
	for i, v := range planned {
		if it := o.GetItems()[i]; it.GetCrosscut() == nil {
			it.Value, it.ValuePer = v.GetValue(), v.GetValuePer()
		}
	}
	return o
}

func (t *tool) valued(a *ripwrightv1.PlanValuesResponse, by ripwrightv1.PlanObjective) error {
	if t.json {
		return t.writeJSON(a)
	}
	if t.csv {
		rows := [][]string{{"item_id", "value", "value_per", "lumber_cost"}}
		for _, v := range a.GetValues() {
			cost := ""
			if v.LumberCost != nil {
				cost = exactly(v.GetLumberCost())
			}
			rows = append(rows, []string{v.GetItemId(), exactly(v.GetValue()), wordOf(v.GetValuePer()), cost})
		}
		return t.rows(rows)
	}
	if says := noFigures(a.GetResult()); says != "" {
		fmt.Fprintf(t.out, "There are no values: %s.\n", says)
		t.impossible(a.GetImpossible())
		t.warnings(a.GetWarnings())
		return nil
	}
	w := newTable(t.out)
	fmt.Fprintln(w, "item\tvalue\tper\tlumber for one more, "+objectives[by])
	for _, v := range a.GetValues() {
		cost := "-"
		if v.LumberCost != nil {
			cost = fmt.Sprintf("%.4f", v.GetLumberCost())
		}
		fmt.Fprintf(w, "%s\t%.4f\t%s\t%s\n", v.GetItemId(), v.GetValue(), perUnit[v.GetValuePer()], cost)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if err := t.lots(a.GetLots()); err != nil {
		return err
	}
	fmt.Fprintf(t.out, "\nThe order takes %s; no way to rip such boards takes less than %s.\n", t.costed(a.GetCost(), by, a.GetCurrency()), t.costed(a.GetBound(), by, a.GetCurrency()))
	if !a.GetProven() {
		fmt.Fprintln(t.out, "Planning was stopped before the two met: the values may be improved on.")
	}
	if m := a.GetWhole(); m != nil {
		if err := t.whole(m, by, a.GetCurrency()); err != nil {
			return err
		}
	}
	t.impossible(a.GetImpossible())
	return nil
}

// objectives are the units of lumber for each objective.
var objectives = map[ripwrightv1.PlanObjective]string{
	ripwrightv1.PlanObjective_PLAN_OBJECTIVE_UNSPECIFIED: "",
	ripwrightv1.PlanObjective_PLAN_OBJECTIVE_BOARDS:      "boards", ripwrightv1.PlanObjective_PLAN_OBJECTIVE_FACE: "m2", ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST: "money"}

var perUnit = map[ripwrightv1.ValuePer]string{
	ripwrightv1.ValuePer_VALUE_PER_UNSPECIFIED: "",
	ripwrightv1.ValuePer_VALUE_PER_AREA:        "m2", ripwrightv1.ValuePer_VALUE_PER_LENGTH: "m", ripwrightv1.ValuePer_VALUE_PER_STRIP: "strip"}

// whole shows a plan in whole boards.
func (t *tool) whole(m *ripwrightv1.WholePlan, by ripwrightv1.PlanObjective, currency string) error {
	proven := "which is proven to be the least"
	if !m.GetProven() {
		proven = "the least that was found"
	}
	fmt.Fprintf(t.out, "\nIn whole boards: %s, %s, %s\n", many(int(m.GetBoards()), "board"), t.costed(m.GetCost(), by, currency), proven)
	w := newTable(t.out)
	fmt.Fprintln(w, "boards\tlot\tfence\tblades\tstrips")
	for _, p := range m.GetPatterns() {
		fmt.Fprintf(w, "%d\t%s\t%s\t%s\t%s\n", p.GetTimes(), p.GetLotId(), t.width(p.GetPlan().GetSetting().GetFenceMm()), t.positions(p.GetPlan().GetSetting().GetBladesMm()), strips(p.GetPlan()))
	}
	return w.Flush()
}
