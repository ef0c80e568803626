package planning

import (
	"fmt"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/quote"
)

// quoting is a request for a quote made ready.
type quoting struct {
	problem quote.Problem
	options quote.Options
	limit   time.Duration
}

const (
	defaultRuns       = 39
	defaultLevel      = 0.9
	defaultMostBoards = 20_000
	defaultReplan     = 50
)

func (s *Service) readQuote(m *ripwrightv1.QuoteOrderRequest) (*quoting, error) {
	var p wire.Parts
	out := &quoting{options: quote.Options{Level: defaultLevel, Replan: defaultReplan}}
	o := &out.options
	out.limit = time.Duration(p.Number("time_limit_ms", m.GetTimeLimitMs(), 0, mostLimitMS) * 1e6)
	var err error
	var lots stock
	if out.problem.Values, _, lots, err = s.readOrder(&p, m, m.SetAsideLoss); err != nil {
		return nil, err
	}
	o.Seed = lots.seed
	o.Policies = policies(&p, m)
	o.Runs = count(&p, "runs", m.GetRuns(), defaultRuns, quote.MostRuns)
	o.MostBoards = count(&p, "most_boards", m.GetMostBoards(), defaultMostBoards, quote.MostBoards)
	if m.GetLevel() != 0 {
		o.Level = p.Number("level", m.GetLevel(), 0.5, 0.99)
	}
	if m.ReplanBoards != nil {
		o.Replan = int(p.Number("replan_boards", float64(m.GetReplanBoards()), 0, quote.MostBoards))
	}
	out.problem.Pace = pace(&p, m.GetPace())
	more := scrap(&p, m)
	if err := p.Err(lots.faults()); err != nil {
		return nil, err
	}
	out.problem.Lots = lots.lots
	out.problem.Values.Lots = lots.sampled()
	// Rows are named by their items; what cannot be planned is found by the
	// solver with the same paths.
	if d, faults := demand.New(out.problem.Values.Items); len(faults) == 0 {
		out.problem.Scrap = make([]float64, len(d.Rows))
		for k := range d.Rows {
			out.problem.Scrap[k] = more[out.problem.Values.Items[d.Rows[k].Item].ID]
		}
	}
	return out, nil
}

// count takes a whole number from 1 to most; 0 is the default.
func count(p *wire.Parts, path string, n int32, fallback, most int) int {
	if n == 0 {
		return fallback
	}
	return int(p.Number(path, float64(n), 1, float64(most)))
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
		p.Add("values", "is %d; must be VALUE_CHOICE_PLANNED, VALUE_CHOICE_OWN or VALUE_CHOICE_YIELD", m.GetValues())
	}
	out := []quote.Policy{first}
	if m.GetCompare() {
		for _, other := range []quote.Policy{quote.Planned, quote.Own, quote.Yield} {
			if other != first {
				out = append(out, other)
			}
		}
	}
	return out
}

func pace(p *wire.Parts, m *ripwrightv1.SawPace) quote.Pace {
	return quote.Pace{
		FeedMetresPerMinute:  p.Number("pace.feed_m_per_min", m.GetFeedMPerMin(), 0, 1000),
		MillimetresPerSecond: p.Number("pace.positioning_mm_per_s", m.GetPositioningMmPerS(), 0, 100_000),
		SecondsPerBoard:      p.Number("pace.handling_s_per_board", m.GetHandlingSPerBoard(), 0, 3600),
		HoursPerShift:        p.Number("pace.shift_hours", m.GetShiftHours(), 0, 24),
	}
}

func scrap(p *wire.Parts, m *ripwrightv1.QuoteOrderRequest) map[string]float64 {
	ids := map[string]bool{}
	for _, it := range m.GetOrder().GetItems() {
		ids[it.GetItemId()] = true
	}
	more := map[string]float64{}
	for i, a := range m.GetScrap() {
		path := fmt.Sprintf("scrap[%d]", i)
		id := a.GetItemId()
		if _, twice := more[id]; twice {
			p.Add(path+".item_id", "is %q, which another entry has too; an item has one allowance at most", id)
		} else if !ids[id] {
			p.Add(path+".item_id", "is %q; the order has no such item", id)
		}
		more[id] = p.Number(path+".fraction", a.GetFraction(), 0, 10)
	}
	return more
}
