package planning

import (
	"math"
	"os"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func arbors() *ripwrightv1.PlanArborRequest {
	q := mill()
	s := q.GetSaw()
	s.Blades[1] = &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_FixedMm{FixedMm: 160}} // not where the items want it
	s.Blades = append(s.Blades[:3], &ripwrightv1.Blade{Mount: &ripwrightv1.Blade_Moving{Moving: &ripwrightv1.Travel{MinMm: 200, MaxMm: 500}}})
	q.Lumber.SampleBoards = proto.Int32(10)
	return &ripwrightv1.PlanArborRequest{
		SawChoice: &ripwrightv1.PlanArborRequest_Saw{Saw: s}, Lumber: q.Lumber, Pace: q.Pace, MaxSettings: proto.Int32(40), TimeLimitMs: q.TimeLimitMs,
		Orders:  []*ripwrightv1.WeightedOrder{{Order: q.Order}},
		Spacers: &ripwrightv1.Spacers{IncrementMm: 1, MinMm: 80, MaxMm: 320},
	}
}

func TestPlanArbor(t *testing.T) {
	var answers []*ripwrightv1.PlanArborResponse
	for range 2 {
		r, err := service().PlanArbor(t.Context(), arbors())
		if err != nil {
			t.Fatal(err)
		}
		r.SolveTimeUs = 0
		answers = append(answers, r)
	}
	r := answers[0]
	if !proto.Equal(r, answers[1]) {
		t.Error("two answers to one request")
	}
	if len(r.Suggestions) < 2 || len(r.Suggestions) > 5 || r.AllTried || r.Tried > 40 || r.FixedOnly == nil || r.MoreMoving == nil {
		t.Errorf("%v", r)
	}
	for _, s := range append(r.Suggestions, r.Today) {
		// Handling takes 3 s, and feeding 2.2 m on average at 30 m a minute 4.4 s.
		if s.Gain.Mean < 0 || s.Boards == 0 || s.YieldRatio <= 0 || s.YieldRatio >= 1 || s.CycleS < 3+1.8*2 || math.Abs(s.Worth-r.Today.Worth-s.Gain.Mean) > 1e-9 {
			t.Errorf("%v", s)
		}
	}
}

// On a saw with one fixed blade every place of that blade cuts the same: nothing is
// suggested, and today's setting is to be kept.
func TestArborTie(t *testing.T) {
	raw, err := os.ReadFile("testdata/arbor-tie.json")
	if err != nil {
		t.Fatal(err)
	}
	m := &ripwrightv1.PlanArborRequest{}
	if err := protojson.Unmarshal(raw, m); err != nil {
		t.Fatal(err)
	}
	r, err := service().PlanArbor(t.Context(), m)
	if err != nil || len(r.GetSuggestions()) != 0 || !r.GetLeaveAsIs() || !r.GetAllTried() || r.GetToday().GetWorth() <= 0 || r.GetToday().GetFixedMm()[0] != 100 {
		t.Errorf("%v %v", r, err)
	}
}

// The answer of PlanArbor goes into SequenceOrders unchanged.
func TestArborIntoSequence(t *testing.T) {
	m := arbors()
	m.Orders = append(m.Orders, m.Orders[0])
	m.Orders[0].Weight = proto.Int32(120)
	r, err := service().PlanArbor(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	q := &ripwrightv1.SequenceOrdersRequest{CurrentFixedMm: r.GetToday().GetFixedMm(), Change: &ripwrightv1.ChangeTime{SetupMinutes: 5, PerBladeMinutes: 3}}
	for i := range m.Orders {
		j := &ripwrightv1.SequenceJob{OrderId: string(rune('a' + i))}
		for _, s := range append(r.GetSuggestions(), r.GetToday()) {
			j.Arbors = append(j.Arbors, s.GetArbors()[i])
		}
		q.Jobs = append(q.Jobs, j)
	}
	s, err := service().SequenceOrders(t.Context(), q)
	if err != nil || !s.GetProven() {
		t.Fatal(s, err)
	}
	if a := r.GetToday(); math.Abs(a.GetArbors()[0].GetDurationMinutes()-2*a.GetCycleS()) > 1e-9 {
		t.Errorf("%v", a)
	}
}

func TestPlanArborRefuses(t *testing.T) {
	for path, spoil := range map[string]func(*ripwrightv1.PlanArborRequest){
		"spacers":                           func(m *ripwrightv1.PlanArborRequest) { m.Spacers = nil },
		"spacers.increment_mm":              func(m *ripwrightv1.PlanArborRequest) { m.Spacers.IncrementMm = 0 },
		"spacers.max_mm":                    func(m *ripwrightv1.PlanArborRequest) { m.Spacers.MaxMm = 79 },
		"spacers.origin_mm":                 func(m *ripwrightv1.PlanArborRequest) { m.Spacers.OriginMm = math.NaN() },
		"spacers.min_mm":                    func(m *ripwrightv1.PlanArborRequest) { m.Spacers.MinMm = -5001 },
		"max_suggestions":                   func(m *ripwrightv1.PlanArborRequest) { m.MaxSuggestions = proto.Int32(51) },
		"max_settings":                      func(m *ripwrightv1.PlanArborRequest) { m.MaxSettings = proto.Int32(-1) },
		"level":                             func(m *ripwrightv1.PlanArborRequest) { m.Level = proto.Float64(2) },
		"orders":                            func(m *ripwrightv1.PlanArborRequest) { m.Orders = nil },
		"orders[0].weight":                  func(m *ripwrightv1.PlanArborRequest) { m.Orders[0].Weight = proto.Int32(-1) },
		"orders[0].order":                   func(m *ripwrightv1.PlanArborRequest) { m.Orders[0].Order = nil },
		"orders[0].order.items[1].width_mm": func(m *ripwrightv1.PlanArborRequest) { m.Orders[0].Order.Items[1].Width = nil },
		"orders[0].order.items[1].value":    func(m *ripwrightv1.PlanArborRequest) { m.Orders[0].Order.Items[1].Value = -1 },
		"orders[0].order.items": func(m *ripwrightv1.PlanArborRequest) {
			for _, it := range m.Orders[0].Order.Items {
				it.Value = 0
			}
		},
		"saw.blades": func(m *ripwrightv1.PlanArborRequest) { m.GetSaw().Blades = m.GetSaw().Blades[3:] },
	} {
		m := arbors()
		spoil(m)
		_, err := service().PlanArbor(t.Context(), m)
		if named := faultsOf(err); status.Code(err) != codes.InvalidArgument || !strings.Contains(" "+named+" ", " "+path+" ") {
			t.Errorf("%s: %v %s", path, err, named)
		}
	}
}
