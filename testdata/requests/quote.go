package requests

import ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"

// quote draws a quote for an order.
func (g *Genes) quote(limit float64) *ripwrightv1.QuoteOrderRequest {
	m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: g.saw(1000, false)}, TimeLimitMs: given(limit),
		Lumber: g.lumber(), Order: g.Order(100, true), Simulations: given(int32(g.one(0, 100, 1000))), Compare: g.compare(),
		MaxBoards: given(int32(g.one(0, 100, 100_000)))}
	if g.Chance(0.5) {
		every := int32(g.one(0, 1, 10))
		m.ReplanEveryBoards = &every
	}
	return m
}

// compare draws which other values of an order are quoted too.
func (g *Genes) compare() []ripwrightv1.ValueChoice {
	if g.Chance(0.5) {
		return []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_OWN, ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD}
	}
	return nil
}
