package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// call is a call of the service.
type call struct {
	name string
	// draw gives the request and an empty answer; limit is the request's time limit, in
	// ms.
	draw func(g *genes, limit float64) (request, answer proto.Message)
	// planning is slow: its limit is the request's own.
	planning bool
}

var calls = []call{
	{name: "RipService/SolveBoard", draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		j := g.job()
		j.options.TimeLimitMs = given(limit)
		return &ripwrightv1.SolveBoardRequest{Board: j.board, Order: j.order, Options: j.options,
			SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: j.saw}}, &ripwrightv1.SolveBoardResponse{}
	}},
	{name: "RipService/CheckPlan", draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		j := g.job()
		j.options.TimeLimitMs, j.options.RunnersUp = given(limit), 0
		fence, at := standing(j.saw)
		return &ripwrightv1.CheckPlanRequest{Board: j.board, Order: j.order, Options: j.options, Setting: &ripwrightv1.Setting{FenceMm: &fence, BladesMm: at},
			SawChoice: &ripwrightv1.CheckPlanRequest_Saw{Saw: j.saw}}, &ripwrightv1.CheckPlanResponse{}
	}},
	{name: "RipService/DrawPlan", draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		j := g.job()
		j.options.TimeLimitMs, j.options.RunnersUp = given(limit), 0
		m := &ripwrightv1.DrawPlanRequest{Board: j.board, Order: j.order, Options: j.options, SawChoice: &ripwrightv1.DrawPlanRequest_Saw{Saw: j.saw}}
		if g.chance(0.3) {
			fence, at := standing(j.saw)
			m.Setting = &ripwrightv1.Setting{FenceMm: &fence, BladesMm: at}
		}
		return m, &ripwrightv1.DrawPlanResponse{}
	}},
	{name: "PlanningService/PlanValues", planning: true, draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		return &ripwrightv1.PlanValuesRequest{SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: g.saw(1000, false)}, TimeLimitMs: given(limit),
			Lumber: g.lumber(), Order: g.order(100, true), RelativeGap: given(g.one(0, 1e-9, 0.1))}, &ripwrightv1.PlanValuesResponse{}
	}},
	{name: "PlanningService/QuoteOrder", planning: true, draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		return g.quote(limit), &ripwrightv1.QuoteOrderResponse{}
	}},
	{name: "PlanningService/PlanArbor", planning: true, draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.PlanArborRequest{SawChoice: &ripwrightv1.PlanArborRequest_Saw{Saw: g.saw(1000, true)}, TimeLimitMs: given(limit),
			Lumber: g.lumber(), MaxSettings: given(int32(g.one(0, 10_000, 100_000))), MaxSuggestions: proto.Int32(50),
			Spacers: &ripwrightv1.Spacers{IncrementMm: g.one(0.01, 0.1, 1, 10), MinMm: -5000, MaxMm: 5000}}
		for range g.count(1, 50) {
			m.Orders = append(m.Orders, &ripwrightv1.WeightedOrder{Order: g.order(20, false)})
		}
		return m, &ripwrightv1.PlanArborResponse{}
	}},
	{name: "PlanningService/SequenceOrders", planning: true, draw: func(g *genes, _ float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.SequenceOrdersRequest{Change: &ripwrightv1.ChangeTime{SetupMinutes: 10, PerBladeMinutes: 5}}
		n, arbors, blades := g.count(1, 200), g.count(1, 8), g.count(1, mostBlades)
		if g.chance(0.3) {
			n = 14 // the most for which all sequences are searched
		}
		due := g.next()
		r := g.stream()
		for i := range n {
			j := &ripwrightv1.SequenceJob{OrderId: fmt.Sprint("o", i)}
			if r.Float64() < due {
				at := 1 + 1e4*r.Float64()
				j.DueMinutes = &at
				if start := 1e4 * (r.Float64() - 0.5); start > 0 {
					j.EarliestStartMinutes = &start
				}
			}
			for range arbors {
				a := &ripwrightv1.ArborSetting{DurationMinutes: 1 + 99*r.Float64()}
				for at := range blades {
					a.FixedMm = append(a.FixedMm, float64(100*at+10*r.IntN(9)))
				}
				j.Arbors = append(j.Arbors, a)
			}
			m.Jobs = append(m.Jobs, j)
		}
		return m, &ripwrightv1.SequenceOrdersResponse{}
	}},
	{name: "PlanningService/ShareOrder", planning: true, draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.ShareOrderRequest{Order: g.order(100, true), TimeLimitMs: given(limit)}
		first, boards := g.saw(1000, false), g.count(1, 60)
		alike := g.chance(0.5)
		for l := range g.count(1, 16) {
			saw := first
			if !alike && l > 0 {
				saw = g.saw(1000, false)
			}
			line := &ripwrightv1.SharingLine{LineId: fmt.Sprint("l", l), SawChoice: &ripwrightv1.SharingLine_Saw{Saw: saw}, Pace: &ripwrightv1.SharingLine_BoardsPerHour{BoardsPerHour: 100}}
			for _, it := range m.GetOrder().GetItems() {
				line.Fills = append(line.Fills, &ripwrightv1.SharingFill{ItemId: it.GetItemId()})
			}
			m.Lines = append(m.Lines, line)
		}
		for range boards {
			m.Expected = append(m.Expected, g.job().board)
		}
		return m, &ripwrightv1.ShareOrderResponse{}
	}},
	{name: "PlanningService/WatchQuote", planning: true, draw: func(g *genes, limit float64) (proto.Message, proto.Message) {
		return &ripwrightv1.WatchQuoteRequest{Quote: g.quote(limit)}, &ripwrightv1.WatchQuoteResponse{}
	}},
	{name: "TallyService/TallyPack", planning: true, draw: func(g *genes, _ float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.TallyPackRequest{}
		packs, left, profiles := g.count(1, 50), 50_000, g.chance(0.5)
		stations := g.count(1, 200)
		r := g.stream()
		for i := range packs {
			p := &ripwrightv1.Pack{PackId: fmt.Sprint("p", i), Species: "white oak", NominalThicknessIn: 1}
			n := min(left/(packs-i), 20_000)
			left -= n
			if profiles { // as many as fit the longest body
				n = min(n, 3_000_000/packs/(27*stations))
			}
			for k := range max(n, 1) {
				b := &ripwrightv1.TallyBoard{BoardId: fmt.Sprint(k)}
				if profiles {
					b.Size = &ripwrightv1.TallyBoard_Profile{Profile: edge(r, stations)}
				} else {
					b.Size = &ripwrightv1.TallyBoard_Metric{Metric: &ripwrightv1.MetricSize{WidthMm: 100 + 200*r.Float64(), LengthMm: 2000 + 2000*r.Float64(), ThicknessMm: proto.Float64(27)}}
				}
				p.Boards = append(p.Boards, b)
			}
			m.Packs = append(m.Packs, p)
		}
		return m, &ripwrightv1.TallyPackResponse{}
	}},
	{name: "RipService/ConfirmCut", draw: func(g *genes, _ float64) (proto.Message, proto.Message) {
		j := g.job()
		m := &ripwrightv1.ConfirmCutRequest{ConfirmationId: g.name(), Board: j.board, Order: j.order,
			SawChoice: &ripwrightv1.ConfirmCutRequest_Saw{Saw: j.saw}, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE}
		strips, stretches := g.count(0, 64), g.count(0, 100)
		for range strips {
			s := &ripwrightv1.CutStrip{WidthMm: 10}
			for range stretches {
				s.Stretches = append(s.Stretches, &ripwrightv1.CutStretch{LengthMm: 10})
			}
			m.Strips = append(m.Strips, s)
		}
		return m, &ripwrightv1.ConfirmCutResponse{}
	}},
}

// send sends a request and waits for its answer, of a stream for the last one.
func (c *call) send(ctx context.Context, conn *grpc.ClientConn, request, answer proto.Message) error {
	if m, is := request.(*ripwrightv1.WatchQuoteRequest); is {
		s, err := ripwrightv1.NewPlanningServiceClient(conn).WatchQuote(ctx, m)
		for err == nil {
			_, err = s.Recv()
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		return err
	}
	return conn.Invoke(ctx, "/ripwright.v1."+c.name, request, answer, grpc.MaxCallRecvMsgSize(64<<20))
}

// standing gives allowed current positions of fence and blades.
func standing(s *ripwrightv1.Saw) (fence float64, at []float64) {
	for i, b := range s.GetBlades() {
		if b.GetMoving() != nil {
			at = append(at, float64(i)*70)
		} else {
			at = append(at, b.GetFixedMm())
		}
	}
	return s.GetFence().GetMaxMm(), at
}

// given gives nil for 0, which means left out.
func given[T int32 | float64](v T) *T {
	if v == 0 {
		return nil
	}
	return &v
}

// quote draws a quote for an order.
func (g *genes) quote(limit float64) *ripwrightv1.QuoteOrderRequest {
	m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: g.saw(1000, false)}, TimeLimitMs: given(limit),
		Lumber: g.lumber(), Order: g.order(100, true), Simulations: given(int32(g.one(0, 100, 1000))), Compare: g.compare(),
		MaxBoards: given(int32(g.one(0, 100, 100_000)))}
	if g.chance(0.5) {
		every := int32(g.one(0, 1, 10))
		m.ReplanEveryBoards = &every
	}
	return m
}

// compare draws which other values of an order are quoted too.
func (g *genes) compare() []ripwrightv1.ValueChoice {
	if g.chance(0.5) {
		return []ripwrightv1.ValueChoice{ripwrightv1.ValueChoice_VALUE_CHOICE_OWN, ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD}
	}
	return nil
}
