package planning

import (
	"fmt"
	"math"
	"slices"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// quoting is a request for a quote, made ready.
type quoting struct {
	stock
	problem quote.Problem // its lots are sampled when its turn comes
	options quote.Options
	limit   time.Duration
	machine wire.Machine
	// The thickness of every board and the price of every lot are known.
	thick, priced bool
	turns         bool   // boards may be turned
	buys          []buys // in addition to the lots; nil: no buy list is asked for
	unweighed     int    // lots whose worth the time did not suffice for
	currency      string
	at            func(path string) string // in the request, of a path below the items of all orders
}

// perAmount is the size of what a run keeps of each planned amount.
const perAmount = 128

// holds is the size of the samples and the runs in bytes.
func (in *quoting) holds() int64 {
	return in.stock.holds() + int64(in.options.Runs*len(in.options.Policies)*len(in.problem.Scrap))*perAmount
}

const (
	defaultRuns       = 39
	defaultLevel      = 0.9
	defaultMostBoards = 20_000
	defaultReplan     = 25
)

func (s *Service) readQuote(m *ripwrightv1.QuoteOrderRequest) (*quoting, error) {
	var p wire.Parts
	a, err := s.readOrder(&p, m, m.SetAsideLoss)
	if err != nil {
		return nil, err
	}
	a.more(&p, m)
	if m.GetTurnBoards() {
		a.problem.Saw.Turns = a.machine.Turns
	}
	list := buyList(&p, m, a)
	out := &quoting{turns: m.GetTurnBoards(), limit: limited(&p, m.TimeLimitMs), machine: a.machine, thick: len(a.thin) == 0, priced: !a.unpriced, options: quote.Options{
		Seed:       a.seed,
		Policies:   policies(&p, m),
		Runs:       p.Count("simulations", m.Simulations, defaultRuns, ranges.Simulations),
		Level:      p.Maybe("level", m.Level, defaultLevel, ranges.Level),
		MostBoards: p.Count("max_boards", m.MaxBoards, defaultMostBoards, ranges.MaxBoards),
		Replan:     p.Count("replan_every_boards", m.ReplanEveryBoards, defaultReplan, ranges.ReplanEveryBoards),
	}}
	out.buys, out.currency, out.at = list, s.currency(&p, m.GetCurrency()), a.places()
	out.problem.Stock = list != nil
	out.problem.Pace = pace(&p, m.GetPace(), a.machine.Pace)
	more := scrap(&p, m, a.problem.Items)
	d, _ := demand.New(a.problem.Items) // its faults are found with the rest
	faults := a.faults()
	if slices.Contains(out.options.Policies, quote.Own) {
		faults = append(faults, worthless(d)...)
		if len(faults) == 0 {
			steps := int64(mostCutSteps)
			faults = rip.CutFaultsUpTo(&a.machine.Saw, a.problem.Items, lumber.Longest(a.lots), &steps)
		}
	}
	if err := p.Err(a.placed(faults)); err != nil {
		return nil, err
	}
	out.problem.Lots, out.problem.Values = a.lots, a.problem
	out.stock = a.stock
	out.problem.Scrap = make([]float64, len(d.Rows))
	for k := range d.Rows {
		out.problem.Scrap[k] = more[a.problem.Items[d.Rows[k].Item].ID]
	}
	return out, nil
}

// worthless lists what is open and has no value of its own.
func worthless(d *demand.Order) (l fault.List) {
	for k := range d.Rows {
		r := &d.Rows[k]
		it := &d.Items[r.Item]
		path, value := fmt.Sprintf("order.items[%d].value", r.Item), it.Value
		if r.Cut != demand.Whole {
			path, value = fmt.Sprintf("order.items[%d].crosscut.lengths[%d].value", r.Item, r.Cut), it.Cuts[r.Cut].Value
		}
		if value == 0 {
			l.Add(path, "is 0, so by the order's own values none of it is cut; give it a value, or let values be planned")
		}
	}
	return l
}

var choices = map[ripwrightv1.ValueChoice]quote.Policy{
	ripwrightv1.ValueChoice_VALUE_CHOICE_UNSPECIFIED: quote.Planned,
	ripwrightv1.ValueChoice_VALUE_CHOICE_PLANNED:     quote.Planned,
	ripwrightv1.ValueChoice_VALUE_CHOICE_OWN:         quote.Own,
	ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD:       quote.Yield,
}

var chosen = map[quote.Policy]ripwrightv1.ValueChoice{
	quote.Planned: ripwrightv1.ValueChoice_VALUE_CHOICE_PLANNED,
	quote.Own:     ripwrightv1.ValueChoice_VALUE_CHOICE_OWN,
	quote.Yield:   ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD,
}

func policies(p *wire.Parts, m *ripwrightv1.QuoteOrderRequest) []quote.Policy {
	first, ok := choices[m.GetValues()]
	if !ok {
		p.Because(fault.UnknownWord, "values", "is %d; must be VALUE_CHOICE_PLANNED, VALUE_CHOICE_OWN or VALUE_CHOICE_YIELD", m.GetValues())
	}
	out := []quote.Policy{first}
	if !ok {
		return out // what is compared with it is unknown
	}
	if !p.Entries("compare", len(m.GetCompare()), ranges.Compare) {
		return out
	}
	for i, c := range m.GetCompare() {
		path := fmt.Sprintf("compare[%d]", i)
		switch other, ok := choices[c]; {
		case !ok || c == ripwrightv1.ValueChoice_VALUE_CHOICE_UNSPECIFIED:
			p.Because(fault.UnknownWord, path, "is %d; must be VALUE_CHOICE_PLANNED, VALUE_CHOICE_OWN or VALUE_CHOICE_YIELD", c)
		case slices.Contains(out, other):
			p.Because(fault.Duplicate, path, "is %s, by which the order is already cut", c)
		default:
			out = append(out, other)
		}
	}
	return out
}

// pace reads a request's pace of the saw; what it leaves out is the saw's own.
func pace(p *wire.Parts, m *ripwrightv1.SawPace, of run.Pace) quote.Pace {
	if m == nil {
		return quote.Pace{Pace: of}
	}
	out := quote.Pace{Pace: of, ShiftHours: p.Maybe("pace.shift_hours", m.ShiftHours, 0, ranges.ShiftHours)}
	if v := p.Maybe("pace.feed_m_per_min", m.FeedMPerMin, 0, ranges.Feed); v > 0 {
		out.Feed = int64(math.Round(v * 1000 * float64(unit.Millimetre)))
	}
	if v := p.MaybeMM("pace.positioning_mm_per_s", m.PositioningMmPerS, ranges.Positioning); v > 0 {
		out.Positioning = int64(v)
	}
	if m.HandlingS != nil {
		v := p.Number("pace.handling_s", m.GetHandlingS(), ranges.Handling)
		out.Handling = time.Duration(math.Round(v * float64(time.Second)))
	}
	return out
}

// scrap reads what to make beyond the order, by item of all orders.
func scrap(p *wire.Parts, m *ripwrightv1.QuoteOrderRequest, items []order.Item) map[string]float64 {
	more := map[string]float64{}
	if !p.Entries("scrap", len(m.GetScrap()), ranges.Rules) {
		return more
	}
	ids := map[string]bool{}
	if len(m.GetOrder().GetItems()) == 0 {
		items = nil // which is the fault, not what names them
	}
	for i := range items {
		ids[items[i].ID] = true
	}
	for i, a := range m.GetScrap() {
		path := fmt.Sprintf("scrap[%d]", i)
		fraction := p.Number(path+".fraction", a.GetFraction(), ranges.ScrapFraction)
		if _, twice := more[a.GetItemId()]; once(p, path+".item_id", a.GetItemId(), ids, twice) {
			more[a.GetItemId()] = fraction
		}
	}
	return more
}

// once reports whether an id is that of an item of the order that was not named before.
func once(p *wire.Parts, path, id string, ids map[string]bool, twice bool) bool {
	switch {
	case !p.Text(path, id, ranges.OwnID), len(ids) == 0: // without items there is another fault
		return false
	case !ids[id]:
		p.Because(fault.UnknownName, path, "is %q; the order has no such item", id)
	case twice:
		p.Because(fault.Duplicate, path, "is %q, which is given twice; name each item at most once", id)
	}
	return ids[id] && !twice
}
