package planning

import (
	"math"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func TestPlanValuesRefuses(t *testing.T) {
	c := instances(t)[0]
	for path, spoil := range map[string]func(*ripwrightv1.PlanValuesRequest){
		"lumber":         func(m *ripwrightv1.PlanValuesRequest) { m.Lumber = nil },
		"lumber.lots":    func(m *ripwrightv1.PlanValuesRequest) { m.Lumber.Lots = nil },
		"lumber.lots[0]": func(m *ripwrightv1.PlanValuesRequest) { m.Lumber.Lots[0].Source = nil },
		"lumber.lots[0].listed.boards[0].board.length_mm": func(m *ripwrightv1.PlanValuesRequest) {
			m.Lumber.Lots[0].GetListed().Boards[0].Board.LengthMm = math.NaN()
		},
		"lumber.lots[0].listed.boards[0].board.stations": func(m *ripwrightv1.PlanValuesRequest) {
			m.Lumber.Lots[0].GetListed().Boards[0].Board.Stations = nil
		},
		"lumber.lots[0].listed.boards[0].count": func(m *ripwrightv1.PlanValuesRequest) { m.Lumber.Lots[0].GetListed().Boards[0].Count = proto.Int32(-1) },
		"lumber.lots[1].lot_id": func(m *ripwrightv1.PlanValuesRequest) {
			m.Lumber.Lots = append(m.Lumber.Lots, m.Lumber.Lots[0])
		},
		"lumber.lots[0].spread.lengths": func(m *ripwrightv1.PlanValuesRequest) {
			m.Lumber.Lots[0].Source = &ripwrightv1.Lot_Spread{Spread: &ripwrightv1.BoardSpread{MeanWidthMm: 200, MinWidthMm: 100, MaxWidthMm: 300}}
		},
		"lumber.lots[0].tagged.rows[0].count": func(m *ripwrightv1.PlanValuesRequest) {
			m.Lumber.Lots[0].Source = &ripwrightv1.Lot_Tagged{Tagged: &ripwrightv1.PackTag{Rows: []*ripwrightv1.TagRow{{WidthMm: 200, LengthMm: 300, Count: proto.Int32(0)}}}}
		},
		"lumber.sample_boards": func(m *ripwrightv1.PlanValuesRequest) { m.Lumber.SampleBoards = proto.Int32(2001) },
		"lumber.seed":          func(m *ripwrightv1.PlanValuesRequest) { m.Lumber.Seed = -1 },
		"lumber.lots[0].price_per_mbf": func(m *ripwrightv1.PlanValuesRequest) {
			m.Objective = ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST
		},
		"objective":      func(m *ripwrightv1.PlanValuesRequest) { m.Objective = 9 },
		"relative_gap":   func(m *ripwrightv1.PlanValuesRequest) { m.RelativeGap = proto.Float64(math.Inf(1)) },
		"set_aside_loss": func(m *ripwrightv1.PlanValuesRequest) { v := 1.5; m.SetAsideLoss = &v },
		"time_limit_ms":  func(m *ripwrightv1.PlanValuesRequest) { m.TimeLimitMs = proto.Float64(-1) },
		"saw":            func(m *ripwrightv1.PlanValuesRequest) { m.SawChoice = nil },
		"saw.step_mm":    func(m *ripwrightv1.PlanValuesRequest) { m.GetSaw().StepMm = 0 },
		"order":          func(m *ripwrightv1.PlanValuesRequest) { m.Order = nil },
		"order.items": func(m *ripwrightv1.PlanValuesRequest) {
			for _, it := range m.Order.Items {
				it.Required = nil
			}
		},
		"order.items[1].item_id": func(m *ripwrightv1.PlanValuesRequest) { m.Order.Items[1].ItemId = m.Order.Items[0].ItemId },
		"rules[0].item_id": func(m *ripwrightv1.PlanValuesRequest) {
			m.Rules = []*ripwrightv1.ValueRule{{ItemId: "no", Rule: &ripwrightv1.ValueRule_Keep{Keep: true}}}
		},
		"rules[0]": func(m *ripwrightv1.PlanValuesRequest) { m.Rules = []*ripwrightv1.ValueRule{{ItemId: "45"}} },
	} {
		m := c.request()
		spoil(m)
		_, err := service().PlanValues(t.Context(), m)
		if named := faultsOf(err); status.Code(err) != codes.InvalidArgument || !strings.Contains(" "+named+" ", " "+path+" ") {
			t.Errorf("%s: %v %s", path, err, named)
		}
	}
	m := c.request()
	m.SawChoice = &ripwrightv1.PlanValuesRequest_SawName{SawName: "nobody"}
	if _, err := service().PlanValues(t.Context(), m); status.Code(err) != codes.NotFound {
		t.Error(err)
	}
}
