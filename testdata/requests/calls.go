package requests

import (
	"fmt"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Call is a call of the service.
type Call struct {
	Name string // without the schema's package
	// Draw gives the request and an empty answer; limit is the request's time limit, in
	// ms.
	Draw func(g *Genes, limit float64) (request, answer proto.Message)
	// Planning is slow: its limit is the request's own.
	Planning bool
}

// Calls are all calls that one request makes.
var Calls = []Call{
	{Name: "RipService/SolveBoard", Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		j := g.Job()
		j.Options.TimeLimitMs = given(limit)
		return &ripwrightv1.SolveBoardRequest{Board: j.Board, Order: j.Order, Options: j.Options,
			SawChoice: &ripwrightv1.SolveBoardRequest_Saw{Saw: j.Saw}}, &ripwrightv1.SolveBoardResponse{}
	}},
	{Name: "RipService/CheckPlan", Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		j := g.Job()
		j.Options.TimeLimitMs, j.Options.RunnersUp = given(limit), 0
		fence, at := standing(j.Saw)
		return &ripwrightv1.CheckPlanRequest{Board: j.Board, Order: j.Order, Options: j.Options, Setting: &ripwrightv1.Setting{FenceMm: &fence, BladesMm: at},
			SawChoice: &ripwrightv1.CheckPlanRequest_Saw{Saw: j.Saw}}, &ripwrightv1.CheckPlanResponse{}
	}},
	{Name: "RipService/DrawPlan", Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		j := g.Job()
		j.Options.TimeLimitMs, j.Options.RunnersUp = given(limit), 0
		m := &ripwrightv1.DrawPlanRequest{Board: j.Board, Order: j.Order, Options: j.Options, SawChoice: &ripwrightv1.DrawPlanRequest_Saw{Saw: j.Saw}}
		if g.Chance(0.3) {
			fence, at := standing(j.Saw)
			m.Setting = &ripwrightv1.Setting{FenceMm: &fence, BladesMm: at}
		}
		return m, &ripwrightv1.DrawPlanResponse{}
	}},
	{Name: "PlanningService/PlanValues", Planning: true, Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		return &ripwrightv1.PlanValuesRequest{SawChoice: &ripwrightv1.PlanValuesRequest_Saw{Saw: g.saw(1000, false)}, TimeLimitMs: given(limit),
			Lumber: g.lumber(), Order: g.Order(100, true), RelativeGap: given(g.one(0, 1e-9, 0.1))}, &ripwrightv1.PlanValuesResponse{}
	}},
	{Name: "PlanningService/QuoteOrder", Planning: true, Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		return g.quote(limit), &ripwrightv1.QuoteOrderResponse{}
	}},
	{Name: "PlanningService/PlanArbor", Planning: true, Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.PlanArborRequest{SawChoice: &ripwrightv1.PlanArborRequest_Saw{Saw: g.saw(1000, true)}, TimeLimitMs: given(limit),
			Lumber: g.lumber(), MaxSettings: given(int32(g.one(0, 10_000, 100_000))), MaxSuggestions: proto.Int32(50),
			Spacers: &ripwrightv1.Spacers{IncrementMm: g.one(0.01, 0.1, 1, 10), MinMm: -5000, MaxMm: 5000}}
		for range g.Count(1, 50) {
			m.Orders = append(m.Orders, &ripwrightv1.WeightedOrder{Order: g.Order(20, false)})
		}
		return m, &ripwrightv1.PlanArborResponse{}
	}},
	{Name: "PlanningService/SequenceOrders", Planning: true, Draw: func(g *Genes, _ float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.SequenceOrdersRequest{Change: &ripwrightv1.ChangeTime{SetupMinutes: 10, PerBladeMinutes: 5}}
		n, arbors, blades := g.Count(1, 200), g.Count(1, 8), g.Count(1, mostBlades)
		if g.Chance(0.3) {
			n = 14 // the most for which all sequences are searched
		}
		due := g.next()
		r := g.Stream()
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
	{Name: "PlanningService/ShareOrder", Planning: true, Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.ShareOrderRequest{Order: g.Order(100, true), TimeLimitMs: given(limit)}
		first, boards := g.saw(1000, false), g.Count(1, 60)
		alike := g.Chance(0.5)
		for l := range g.Count(1, 16) {
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
			m.Expected = append(m.Expected, g.Job().Board)
		}
		return m, &ripwrightv1.ShareOrderResponse{}
	}},
	{Name: "PlanningService/WatchQuote", Planning: true, Draw: func(g *Genes, limit float64) (proto.Message, proto.Message) {
		return &ripwrightv1.WatchQuoteRequest{Quote: g.quote(limit)}, &ripwrightv1.WatchQuoteResponse{}
	}},
	{Name: "TallyService/TallyPack", Planning: true, Draw: func(g *Genes, _ float64) (proto.Message, proto.Message) {
		m := &ripwrightv1.TallyPackRequest{}
		packs, left, profiles := g.Count(1, 50), 50_000, g.Chance(0.5)
		stations := g.Count(1, 200)
		r := g.Stream()
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
	{Name: "RipService/ConfirmCut", Draw: func(g *Genes, _ float64) (proto.Message, proto.Message) {
		j := g.Job()
		m := &ripwrightv1.ConfirmCutRequest{ConfirmationId: g.name(), Board: j.Board, Order: j.Order,
			SawChoice: &ripwrightv1.ConfirmCutRequest_Saw{Saw: j.Saw}, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE}
		strips, stretches := g.Count(0, 64), g.Count(0, 100)
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
