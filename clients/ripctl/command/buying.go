package command

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"github.com/spf13/pflag"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// buying is the flags of ripctl quote about what to buy.
type buying struct {
	list         bool
	stock, packs map[string]int
	orders       []string
	currency     string
}

func (b *buying) flags(f *pflag.FlagSet) {
	f.BoolVar(&b.list, "buy", false, "say what to buy of each lot, which lot to do without, and what one more pack would save")
	f.StringToIntVar(&b.stock, "stock", nil, "`lot=boards` in stock; with --buy")
	f.StringToIntVar(&b.packs, "pack", nil, "`lot=boards` in a pack; with --buy")
	f.StringArrayVar(&b.orders, "more-order", nil, "`file` of a further order that is cut along with it; may be given again")
	f.StringVar(&b.currency, "currency", "", "`code` of the currency that prices are in; without it the service's")
}

// into adds them to a request.
func (b *buying) into(q *ripwrightv1.QuoteOrderRequest, t *tool) error {
	q.Currency = b.currency
	for _, at := range b.orders {
		f, err := t.open(at, files.Order)
		if err != nil {
			return err
		}
		o := &ripwrightv1.CutOrder{}
		if err := f.Into(0, o); err != nil {
			return failed(err)
		}
		q.MoreOrders = append(q.MoreOrders, o)
	}
	if !b.list {
		if len(b.stock)+len(b.packs) > 0 {
			return usage("--stock and --pack are for what to buy; give --buy too")
		}
		return nil
	}
	q.BuyList, q.Objective = &ripwrightv1.BuyList{}, ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST
	lots := maps.Clone(b.stock)
	if lots == nil {
		lots = map[string]int{}
	}
	maps.Copy(lots, b.packs)
	for _, id := range slices.Sorted(maps.Keys(lots)) {
		l := &ripwrightv1.LotStock{LotId: id}
		if n, ok := b.stock[id]; ok {
			n := int32(min(n, 1<<30)) // at most 1<<30
			l.MaxBoards = &n
		}
		if n, ok := b.packs[id]; ok {
			n := int32(min(n, 1<<30)) // at most 1<<30
			l.PackBoards = &n
		}
		q.BuyList.Lots = append(q.BuyList.Lots, l)
	}
	return nil
}

// money shows an amount with its currency.
func money(v float64, currency string) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	if currency != "" {
		text += " " + currency
	}
	return text
}

// buyList shows what simulations took of each lot, and what having a lot is worth.
func (t *tool) buyList(a *ripwrightv1.QuoteOrderResponse) error {
	w := newTable(t.out)
	fmt.Fprintln(w, "\nbuy of lot\tboards\tfrom\tto\tlumber\tmoney\tfrom\tto\twithout it\tone more pack")
	for i, l := range a.GetQuote().GetLots() {
		worth, pack := "not filled", "-"
		if a.GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT {
			worth = "not known"
		}
		if i < len(a.GetLots()) {
			switch u := a.GetLots()[i]; {
			case u.GetLeave():
				worth = "leave it"
			case u.LeavingCosts != nil:
				worth = money(u.GetLeavingCosts(), a.GetCurrency()) + " more"
			}
			if u := a.GetLots()[i]; u.PackSaves != nil {
				pack = "saves " + money(u.GetPackSaves(), a.GetCurrency())
			}
		}
		b, c := l.GetBoards(), l.GetCost()
		fmt.Fprintf(w, "%s\t%.1f\t%.0f\t%.0f\t%.0f bd ft\t%s\t%s\t%s\t%s\t%s\n", l.GetLotId(), b.GetMean(), b.GetLower(), b.GetUpper(), l.GetBoardFeet().GetMean(),
			money(c.GetMean(), a.GetCurrency()), money(c.GetLower(), a.GetCurrency()), money(c.GetUpper(), a.GetCurrency()), worth, pack)
	}
	return w.Flush()
}

// lotRows gives what is taken of each lot as a table.
func lotRows(all []*ripwrightv1.QuoteOutcome) [][]string {
	rows := [][]string{{"values", "lot_id", "figure", "mean", "lower", "upper"}}
	for _, o := range all {
		for _, l := range o.GetLots() {
			for _, f := range []figure{{column: "boards", of: l.GetBoards()}, {column: "board_feet", of: l.GetBoardFeet()}, {column: "cost", of: l.GetCost()}} {
				if f.of != nil {
					rows = append(rows, []string{wordOf(o.GetValues()), l.GetLotId(), f.column, exactly(f.of.GetMean()), exactly(f.of.GetLower()), exactly(f.of.GetUpper())})
				}
			}
		}
	}
	return rows
}
