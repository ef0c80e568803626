package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// quoting is the input of ripctl quote.
type quoting struct {
	planning
	objective, values string
	setAside, level   float64
	simulations, most int32
	replan            int32
	compare, turns    bool
	shift             float64
	scrap             map[string]string
	table, chart      string
	buy               buying
}

// quoteTables are the tables that --table selects.
var quoteTables = []string{"quote", "items", "fill", "lots"}

// unfinished says why simulations ended before the order was filled.
func unfinished(q *ripwrightv1.QuoteOrderRequest, a *ripwrightv1.QuoteOrderResponse) error {
	o, why := a.GetQuote(), fmt.Sprintf("after %d boards; raise --max-boards, or look at what holds it open", maxBoards(q))
	if q.GetBuyList() != nil {
		why = fmt.Sprintf("after all boards in --stock, or %d; buy more of a lot, or of another", maxBoards(q))
	}
	return fmt.Errorf("%d of %s had not filled the order %s", o.GetUnfinished(), many(int(o.GetSimulations()), "simulation"), why)
}

func quote(t *tool) *cobra.Command {
	k := &quoting{planning: planning{job: job{t: t}}}
	c := &cobra.Command{
		Use:   "quote --saw-file saws.yaml --order order.yaml --lumber lumber.yaml",
		Short: "Quote what an order takes: boards, lumber, money, saw hours",
		Long: `Quotes what an order takes: boards, lumber, money and saw hours, each with the
interval that one more simulation falls into. Each simulation cuts the whole order
from boards newly drawn from the lumber. The same files give the same quote.
The intervals cover chance in the lumber only: breakdowns are not in them, and if
the lumber is described wrongly, the quote is wrong. Hours need the saw's feed,
positioning and handling, from --saw-file.`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if !slices.Contains(quoteTables, k.table) {
				return usage("--table is %q; write one of %s", k.table, strings.Join(quoteTables, ", "))
			}
			q, err := k.request()
			if err != nil {
				return err
			}
			s, err := t.dial(c.Context())
			if err != nil {
				return err
			}
			defer s.close()
			where := k.where(func(path string) (string, bool) { return scrapAt(path, q.GetScrap()) })
			a, err := t.watch(c.Context(), ripwrightv1.NewPlanningServiceClient(s.conn), q, where)
			if err != nil {
				return err
			}
			if err := t.quoted(k, q, a); err != nil {
				return failed(err)
			}
			if k.chart != "" && a.GetQuote() != nil {
				if err := t.quoteChart(k.chart, k.order, outcomes(a)); err != nil {
					return failed(err)
				}
			}
			if o := a.GetQuote(); o.GetUnfinished() > 0 {
				return coded{unfinished(q, a), statusUnfilled}
			}
			return unfilled(a.GetImpossible())
		},
	}
	k.orderFlags(c, &k.objective, &k.setAside)
	f := c.Flags()
	t.choice(c, &k.values, "values", "planned", ripwrightv1.ValueChoice(0).Descriptor(), "which values boards are cut by")
	f.BoolVar(&k.compare, "compare", false, "simulate the order by the other values too, on the same boards")
	f.Int32Var(&k.simulations, "simulations", 0, "how many `times` the order is simulated; 0: 39")
	f.Var(chance{&k.level}, "level", "`chance` that one more simulation falls into an interval, 0.5 to 0.99 or 50% to 99%; 0: 0.9")
	f.Int32Var(&k.most, "max-boards", 0, "end a simulation after this many `boards`; 0: 20000")
	f.Int32Var(&k.replan, "replan-every-boards", 25, "plan values again after this many `boards`; 0: never")
	f.BoolVar(&k.turns, "turn-boards", false, "let plans turn boards as the saw allows, where that is worth more than it costs")
	f.StringToStringVar(&k.scrap, "scrap", nil, "`item=part` to make in excess for later rejects: stile=5%")
	f.Float64Var(&k.shift, "shift-hours", 0, "`hours` in a shift; 0: shifts are not counted")
	k.buy.flags(f)
	f.StringVar(&k.chart, "chart", "", "write charts of fill and cost to this `file`, as SVG")
	f.StringVar(&k.table, "table", "quote", "`table` that --csv writes: "+strings.Join(quoteTables, ", "))
	completes(c, "table", quoteTables...)
	return c
}

// ownValued reports whether everything that is open of an order has a value.
func ownValued(o *ripwrightv1.CutOrder) bool {
	for _, it := range o.GetItems() {
		switch lengths := it.GetCrosscut().GetLengths(); {
		case len(lengths) > 0:
			if slices.ContainsFunc(lengths, func(l *ripwrightv1.CutLength) bool {
				return l.GetValue() == 0 && (l.Required == nil || l.GetRequired() > l.GetMade())
			}) {
				return false
			}
		case it.GetValue() == 0 && (it.Required == nil || amountOf(left(it)) > 0):
			return false
		}
	}
	return true
}

func amountOf(a *ripwrightv1.Amount) float64 {
	return a.GetLengthM() + a.GetAreaM2() + float64(a.GetPieces())
}

func maxBoards(q *ripwrightv1.QuoteOrderRequest) int32 {
	if n := q.GetMaxBoards(); n > 0 {
		return n
	}
	return 20000
}

func (k *quoting) request() (*ripwrightv1.QuoteOrderRequest, error) {
	by, err := numbered("objective", k.objective, ripwrightv1.PlanObjective(0).Descriptor())
	if err != nil {
		return nil, err
	}
	values, err := numbered("values", k.values, ripwrightv1.ValueChoice(0).Descriptor())
	if err != nil {
		return nil, err
	}
	scrap, err := scrapOf(k.scrap)
	if err != nil {
		return nil, err
	}
	if err := k.loadOrder(); err != nil {
		return nil, err
	}
	if err := k.load(); err != nil {
		return nil, err
	}
	q := &ripwrightv1.QuoteOrderRequest{Order: k.order, Lumber: k.lumber, Objective: ripwrightv1.PlanObjective(by), SetAsideLoss: &k.setAside,
		Values: ripwrightv1.ValueChoice(values), Compare: k.others(ripwrightv1.ValueChoice(values)), Pace: k.pace(k.shift), Scrap: scrap,
		Simulations: unlessZero(k.simulations), Level: unlessZero(k.level),
		MaxBoards: unlessZero(k.most), ReplanEveryBoards: &k.replan, TimeLimitMs: unlessZero(k.limit), TurnBoards: k.turns}
	k.choose(q)
	return q, k.buy.into(q, k.t)
}

// pace is the pace of the saw in the file.
func (p *planning) pace(shift float64) *ripwrightv1.SawPace {
	s := p.saw
	m := &ripwrightv1.SawPace{ShiftHours: unlessZero(shift)}
	if s != nil {
		m.FeedMPerMin, m.PositioningMmPerS, m.HandlingS = s.FeedMPerMin, s.PositioningMmPerS, &s.HandlingS
	}
	return m
}

// others are the choices to compare with the one that the quote is by: all for which the
// order has the necessary data.
func (k *quoting) others(chosen ripwrightv1.ValueChoice) (all []ripwrightv1.ValueChoice) {
	if !k.compare {
		return nil
	}
	for _, v := range []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_PLANNED, ripwrightv1.ValueChoice_VALUE_CHOICE_OWN, ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD} {
		if v != chosen && (v != ripwrightv1.ValueChoice_VALUE_CHOICE_OWN || ownValued(k.order)) {
			all = append(all, v)
		}
	}
	return all
}

// scrapOf reads item IDs and percentages.
func scrapOf(parts map[string]string) (all []*ripwrightv1.ScrapAllowance, err error) {
	for _, id := range slices.Sorted(maps.Keys(parts)) {
		v, _, err := partOf(parts[id])
		if err != nil {
			return nil, usage("--scrap %s is %q; write a part, such as --scrap %s=5%% or --scrap %s=0.05", id, parts[id], id, id)
		}
		all = append(all, &ripwrightv1.ScrapAllowance{ItemId: id, Fraction: v})
	}
	return all, nil
}

func scrapAt(path string, all []*ripwrightv1.ScrapAllowance) (string, bool) {
	i := -1
	if _, err := fmt.Sscanf(path, "scrap[%d]", &i); err != nil || i < 0 || i >= len(all) {
		return "", false
	}
	return "--scrap " + all[i].GetItemId(), true
}

// watch requests a quote and shows its progress.
func (t *tool) watch(ctx context.Context, s ripwrightv1.PlanningServiceClient, q *ripwrightv1.QuoteOrderRequest, where func(string) string) (*ripwrightv1.QuoteOrderResponse, error) {
	ctx, cancel := context.WithTimeout(ctx, t.timeout)
	defer cancel()
	stream, err := s.WatchQuote(ctx, &ripwrightv1.WatchQuoteRequest{Quote: q})
	if err != nil {
		return nil, t.explain(err, where)
	}
	bar := t.progress("simulations")
	defer bar.end()
	for {
		m, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			return nil, failed(errors.New("the service ended its answer before the quote"))
		}
		if err != nil {
			return nil, t.explain(err, where)
		}
		if a := m.GetQuote(); a != nil {
			return a, nil
		}
		bar.set(int(m.GetProgress().GetEnded()), int(m.GetProgress().GetSimulations()))
	}
}
