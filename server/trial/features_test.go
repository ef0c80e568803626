package trial

import (
	"fmt"
	"maps"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const (
	// ownSaw has what heron lacks: skew, rerip and times.
	ownSaw = `"saw": {"name": "own", "kerf_mm": 3.6, "step_mm": 1, "fence": {"min_mm": 40, "max_mm": 290},
 "blades": [{"fixed_mm": 150}, {"fixed_mm": 220.5}, {"moving": {"min_mm": 260, "max_mm": 420}}], "min_gap_mm": 30, "min_strip_width_mm": 25,
 "rerip": {"min_width_mm": 45, "value_per_m2": 2}, "max_skew_mm_per_m": 5, "feed_m_per_min": 30, "positioning_mm_per_s": 20, "handling_s": 2}`
	byName    = `"saw_name": "heron"`
	plainOne  = `"board": {"length_mm": 2400, "thickness_mm": 26, "stations": [{"near_mm": 0, "far_mm": 240}, {"x_mm": 2400, "near_mm": 12, "far_mm": 252}]}`
	stiles    = `{"item_id": "stile", "width_mm": 66.6, "value": 14, "required": {"length_m": 40}}`
	rails     = `{"item_id": "rail", "width_mm": 55, "value": 11, "required": {"length_m": 40}}`
	fewBoards = `"lumber": {"seed": 3, "lots": [{"lot_id": "a", "listed": {"boards": [{` + plainOne + `}]}}]}`
)

func orderOf(items ...string) string { return `"order": {"items": [` + strings.Join(items, ",") + `]}` }

// probe uses one feature that a release lists; its error is the answer if that is wrong.
type probe func(t *testing.T, h *house) error

func ripped(t *testing.T, h *house, parts ...string) (*ripwrightv1.SolveBoardResponse, error) {
	t.Helper()
	m := &ripwrightv1.SolveBoardRequest{}
	read(t, "{"+strings.Join(append(parts, plainOne), ",")+"}", m)
	return h.rpc.SolveBoard(t.Context(), m)
}

// wants gives an error unless an answer is as it should be.
func wants(ok bool, err error, got any) error {
	if err != nil || ok {
		return err
	}
	return fmt.Errorf("%.400s", fmt.Sprint(got))
}

// line sends all messages on one stream and returns the last answer.
func line(t *testing.T, h *house, messages ...*ripwrightv1.RunLineRequest) (last *ripwrightv1.RunLineResponse, err error) {
	t.Helper()
	s, err := h.rpc.RunLine(t.Context())
	if err != nil {
		return nil, err
	}
	defer func() { _ = s.CloseSend() }()
	for _, m := range messages {
		if err = s.Send(m); err == nil {
			last, err = s.Recv()
		}
		if err != nil {
			return nil, err
		}
	}
	return last, nil
}

func said(t *testing.T, texts ...string) (all []*ripwrightv1.RunLineRequest) {
	t.Helper()
	for i, text := range texts {
		m := &ripwrightv1.RunLineRequest{}
		read(t, text, m)
		m.Sequence = int32(i + 1)
		all = append(all, m)
	}
	return all
}

func setUpWith(more ...string) string {
	return `{"set_up": {"run_id": "zq7-f", ` + strings.Join(append(more, byName), ",") + `}}`
}

var aBoard = `{"board": {` + plainOne + `}}`

var probes = map[string]probe{
	"saw_by_name": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, byName, orderOf(stiles))
		return wants(a.GetPlan().GetWorth() > 0, err, a)
	},
	"skew": func(t *testing.T, h *house) error { // the board drifts 5 mm a metre
		a, err := ripped(t, h, ownSaw, orderOf(stiles))
		return wants(a.GetPlan().GetSetting().GetSkewMmPerM() == -5, err, a)
	},
	"turns": func(t *testing.T, h *house) error { // of its two pockets the wide one has the knot
		ask := func(options string) (*ripwrightv1.SolveBoardResponse, error) {
			m := &ripwrightv1.SolveBoardRequest{}
			read(t, `{"saw": {"kerf_mm": 4, "step_mm": 1, "fence": {"min_mm": 100, "max_mm": 100}, "blades": [{"fixed_mm": 104}, {"fixed_mm": 164}, {"fixed_mm": 270}],
 "min_gap_mm": 25, "min_strip_width_mm": 25, "turns": [{"turn": "BOARD_TURN_EDGE_OVER_EDGE", "cost": 0.5}]}, "order": {"items": [{"item_id": "wide", "width_mm": 102, "value": 10}]},
 "board": {"length_mm": 2400, "stations": [{"far_mm": 180}], "defects": [{"to_x_mm": 1400, "from_y_mm": 130, "to_y_mm": 150, "kind": "knot"}]}, "options": {`+options+`}}`, m)
			return h.rpc.SolveBoard(t.Context(), m)
		}
		as, err := ask("")
		if err != nil {
			return err
		}
		a, err := ask(`"turn_boards": true`)
		p := a.GetPlan()
		return wants(as.GetPlan().GetSetting().Turn == nil && p.GetSetting().GetTurn() == ripwrightv1.BoardTurn_BOARD_TURN_EDGE_OVER_EDGE &&
			p.GetTurnCost() == 0.5 && p.GetWorth() > as.GetPlan().GetWorth()+0.5, err, p)
	},
	"rerip": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, ownSaw, orderOf())
		return wants(a.GetPlan().GetWorth() > 0 && a.GetPlan().GetAccount().GetReripWorth() == a.GetPlan().GetWorth(), err, a)
	},
	"crosscut": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, byName, orderOf(`{"item_id": "door", "width_mm": 66.6, "crosscut": {"kerf_mm": 4, "lengths": [{"length_mm": 700, "value": 2}]}}`))
		pieces := 0
		for _, k := range a.GetPlan().GetPockets() {
			pieces += len(k.GetPieces())
		}
		return wants(pieces > 0 && a.GetPlan().GetWorth() == 2*float64(pieces), err, a)
	},
	"runners_up": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, byName, orderOf(stiles, rails), `"options": {"runners_up": 2}`)
		return wants(len(a.GetRunnersUp()) == 2, err, a)
	},
	"work_limit": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, byName, orderOf(stiles, rails), `"options": {"work_limit": 1}`)
		return wants(a.GetProof().GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_WORK_LIMIT, err, a)
	},
	"price_per_saw_hour": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, ownSaw, orderOf(stiles, rails), `"options": {"price_per_saw_hour": 500}`)
		return wants(a.GetProof().GetProven() && a.GetCycle().GetCost() > 0 && a.GetProof().GetWorth() < a.GetPlan().GetWorth(), err, a)
	},
	"answer_detail": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, byName, orderOf(stiles), `"options": {"detail": {"fills": "ITEM_DETAIL_NONE", "plans": "PLAN_DETAIL_POCKETS"}}`)
		return wants(len(a.GetFills()) == 0 && a.GetPlan().GetAccount() == nil && len(a.GetPlan().GetPockets()) > 0, err, a)
	},
	"line_resume": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles)), aBoard)...)
		if err != nil {
			return err
		}
		b, err := line(t, h, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: a.GetState()}}})
		return wants(b.GetSequence() == 2 && len(b.GetResumed().GetReady().GetUnconfirmed()) == 1, err, b)
	},
	"line_start": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, `{"set_up": {"run_id": "zq7-g", `+ownSaw+`,`+orderOf(stiles)+`}}`,
			`{"board": {`+plainOne+`, "measured_setting": {"fence_mm": 101, "blades_mm": [150, 220.5, 303]}}}`)...)
		p := a.GetPlan()
		return wants(p.GetStart().GetBasis() == ripwrightv1.StartBasis_START_BASIS_MEASURED && p.GetTargets()[0].GetFromPosition() == 101, err, a)
	},
	"strip_doubts": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles)), aBoard,
			`{"confirmation": {"board_sequence": 2, "outcome": "CUT_OUTCOME_AS_MEASURED", "strips": [{"item_id": "stile", "width_mm": 90, "stretches": [{"length_mm": 2400}]}]}}`)...)
		if err != nil || a.GetRefused() == nil {
			return wants(false, err, a)
		}
		a, err = line(t, h, said(t, setUpWith(orderOf(stiles)), aBoard,
			`{"confirmation": {"board_sequence": 2, "outcome": "CUT_OUTCOME_AS_MEASURED", "strips": [{"item_id": "stile", "width_mm": 64, "stretches": [{"length_mm": 2400}]}]}}`)...)
		return wants(len(a.GetSettled().GetDoubts()) == 1, err, a)
	},
	"do_not_feed": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, byName, orderOf())
		return wants(a.GetDoNotFeed().GetReason() == ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_ORDER_FULL, err, a)
	},
	"instructions": func(t *testing.T, h *house) error {
		a, err := ripped(t, h, byName, orderOf(stiles, rails), `"instructions": {"forced": [{"item_id": "rail", "strips": 2}], "fence": {"at_mm": 150}}`)
		n, made := a.GetInstructed(), 0
		for _, k := range a.GetPlan().GetPockets() {
			if k.GetItemId() == "rail" {
				made++
			}
		}
		return wants(n.GetKept() && len(n.GetEach()) == 2 && made >= 2 && n.GetCost() > 0, err, a)
	},
	"line_release": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles), `"release_after_boards": 1`), aBoard, aBoard,
			`{"confirmation": {"board_sequence": 3, "outcome": "CUT_OUTCOME_AS_PLANNED"}}`)...)
		return wants(len(a.GetReleased()) == 1 && a.GetReleased()[0].GetBoardSequence() == 2, err, a)
	},
	"begin_anew": func(t *testing.T, h *house) error {
		wider := orderOf(strings.Replace(stiles, "66.6", "70", 1))
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles)), `{"order_change": {`+wider+`}}`)...)
		if err != nil || a.GetRefused() == nil {
			return wants(false, err, a)
		}
		a, err = line(t, h, said(t, setUpWith(orderOf(stiles)), `{"order_change": {`+wider+`, "begin_anew": ["stile"]}}`)...)
		return wants(a.GetOrderChanged() != nil, err, a)
	},
	"line_expected": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles)), aBoard, `{"confirmation": {"board_sequence": 2, "outcome": "CUT_OUTCOME_AS_PLANNED", "board_id": "another"}}`)...)
		if err != nil || a.GetRefused() == nil {
			return wants(false, err, a)
		}
		_, err = line(t, h, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: a.GetState(), RunId: "another"}}})
		if status.Code(err) != codes.FailedPrecondition {
			return fmt.Errorf("a resume that expects another run: %w", err)
		}
		return nil
	},
	"line_drift": func(t *testing.T, h *house) error {
		messages := []string{setUpWith(orderOf(`{"item_id": "stile", "width_mm": 66.6, "value": 14}`), `"drift_watch": {"scatter_mm": 0.1}`)}
		a, err := line(t, h, said(t, messages[0], aBoard)...)
		if err != nil {
			return err
		}
		pockets := a.GetPlan().GetPlan().GetPockets()
		k := slices.IndexFunc(pockets, func(p *ripwrightv1.Pocket) bool { return p.GetItemId() != "" })
		for i := range 10 { // two millimetres too wide count as three units, 0.75 mm, each time
			messages = append(messages, aBoard, fmt.Sprintf(`{"confirmation": {"board_sequence": %d, "outcome": "CUT_OUTCOME_AS_MEASURED", "strips": [
				{"item_id": "stile", "width_mm": 68.6, "pocket": %d}]}}`, 2*i+2, k))
		}
		before, err := line(t, h, said(t, messages[:1+2*3]...)...)
		if err != nil || len(before.GetSettled().GetDrifts()) != 0 {
			return wants(false, err, before)
		}
		a, err = line(t, h, said(t, messages[:1+2*5]...)...)
		d := a.GetSettled().GetDrifts()
		return wants(len(d) == 1 && d[0].GetShiftMm() > 0 && d[0].GetFarBlade() == pockets[k].GetFarBlade(), err, a)
	},
	"line_shift": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles)), `{"at_s": 60, "stop": {"reason": "blades"}}`, `{"at_s": 90, "restart": {}}`, `{"at_s": 100, "sum_up": {"set_mark": true}}`, `{"at_s": 120, "sum_up": {"since_mark": true}}`)...)
		sum := a.GetSummedUp().GetSummary()
		return wants(sum.GetTimes().GetRunningS() == 20 && sum.GetTimes().GetFromS() == 100 && len(sum.GetStops()) == 0, err, a)
	},
	"line_value_planning": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles, rails), `"value_planning": {"expected": [`+plainOne[len(`"board": `):]+`]}`), aBoard)...)
		return wants(a.GetValues().GetNumber() == 1, err, a)
	},
	"line_set_aside": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles, rails), `"value_planning": {"set_aside_loss": 0.1, "expected": [`+plainOne[len(`"board": `):]+`]}`), aBoard)...)
		return wants(a.GetPlan().GetSetAside().GetMinWorth() > 0, err, a)
	},
	"line_next_orders": func(t *testing.T, h *house) error {
		few := strings.Replace(stiles, "40", "1", 1)
		a, err := line(t, h, said(t, setUpWith(`"order": {"order_id": "a", "items": [`+few+`]}, "next_orders": [{"order_id": "b", "items": [`+few+`]}]`), aBoard, aBoard)...)
		return wants(a.GetOrderId() == "b" && len(a.GetOtherOrders()) == 1 && a.GetOtherOrders()[0].GetFull(), err, a)
	},
	"line_overlap": func(t *testing.T, h *house) error {
		few, narrow := strings.Replace(stiles, "40", "1", 1), strings.Replace(stiles, "66.6", "40", 1)
		a, err := line(t, h, said(t, setUpWith(`"order": {"order_id": "a", "items": [`+few+`]}, "overlap_from_boards": 1, "next_orders": [{"order_id": "b", "items": [`+narrow+`]}]`), aBoard)...)
		own, other := 0, 0
		for _, k := range a.GetPlan().GetPlan().GetPockets() {
			switch {
			case k.GetOrderId() == "b":
				other++
			case k.GetItemId() != "":
				own++
			}
		}
		return wants(own == 1 && other > 0, err, a)
	},
	"outfeed_bays": func(t *testing.T, h *house) error {
		a, err := line(t, h, said(t, setUpWith(orderOf(stiles, rails), `"outfeed_bays": {"bays": 1, "measure_every_boards": 1}`), aBoard, `{"confirmation": {"board_sequence": 2, "outcome": "CUT_OUTCOME_AS_PLANNED"}}`, `{"sum_up": {}}`)...)
		b := a.GetSummedUp().GetSummary().GetBays()
		return wants(b.GetBoardsMeasured() == 1 && b.GetWorth() > 0 && b.GetWorth() <= b.GetFreeWorth() && len(b.GetLumber()) == 1 && b.GetLumber()[0].GetFreeBoards() == 1, err, a)
	},
	"due_boards": func(t *testing.T, h *house) error {
		m := &ripwrightv1.PlanValuesRequest{}
		read(t, `{`+byName+`,`+orderOf(`{"item_id": "stile", "width_mm": 66.6, "required": {"length_m": 40}, "due_boards": 1}`)+`,`+fewBoards+`}`, m)
		a, err := h.plans.PlanValues(t.Context(), m)
		return wants(len(a.GetLate()) == 1 && a.GetLate()[0].GetMinBoards() > 1, err, a)
	},
	"share_order": func(t *testing.T, h *house) error {
		m := &ripwrightv1.ShareOrderRequest{}
		read(t, `{`+orderOf(stiles)+`, "lines": [{"line_id": "a", `+byName+`, "boards_per_hour": 300, "fills": [{"item_id": "stile", "made": {"length_m": 10}}]},
 {"line_id": "b", `+byName+`, "boards_per_hour": 100}], "expected": [`+plainOne[len(`"board": `):]+`]}`, m)
		a, err := h.plans.ShareOrder(t.Context(), m)
		sum := 0.0
		for _, l := range a.GetLines() {
			sum += l.GetOrder().GetItems()[0].GetRequired().GetLengthM()
		}
		return wants(a.GetValuesPlanned() && math.Abs(sum-40) < 1e-9, err, a)
	},
	"quote_compare": func(t *testing.T, h *house) error {
		a, err := h.plans.QuoteOrder(t.Context(), short(t))
		return wants(len(a.GetOthers()) == 1 && a.GetOthers()[0].GetValues() == ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD, err, a)
	},
	"quote_progress": func(t *testing.T, h *house) error {
		s, err := h.plans.WatchQuote(t.Context(), &ripwrightv1.WatchQuoteRequest{Quote: short(t)})
		if err != nil {
			return err
		}
		progress := 0
		for {
			a, err := s.Recv()
			if err != nil {
				return err
			}
			if a.GetProgress().GetSimulations() > 0 {
				progress++
			}
			if a.GetQuote() != nil {
				return wants(progress > 0, nil, "no progress")
			}
		}
	},
	// A fast clock shows in server/planning that the default ends a long quote.
	"planning_time_limit": func(t *testing.T, h *house) error {
		m := short(t)
		m.Simulations, m.TimeLimitMs = proto.Int32(1000), proto.Float64(1)
		a, err := h.plans.QuoteOrder(t.Context(), m)
		return wants(a.GetEndedBy() == ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT && a.GetLeftUndone() != "", err, a)
	},
	"tally_past_packs": func(t *testing.T, h *house) error {
		a, err := tally(t, h, `"past_packs": [{"supplier": "Fenmoor", "tallied_board_feet": 100, "measured_board_feet": 95}]`)
		return wants(len(a.GetSuppliers()) == 1 && a.GetSuppliers()[0].GetMeanPercent() == -5, err, a)
	},
	"tally_moisture": func(t *testing.T, h *house) error {
		a, err := tally(t, h, `"moisture": {"from_percent": 12, "to_percent": 8}`)
		return wants(a.GetPacks()[0].GetMoistureChange().GetTangentialPercent() < 0, err, a)
	},
	"unknown_fields_refused": func(t *testing.T, h *house) error {
		m := goodSolve(t)
		m.Board.ProtoReflect().SetUnknown(newer)
		_, err := h.rpc.SolveBoard(t.Context(), m)
		r := h.post(t, "/v1/boards:solve", `{"board": {"turned": 1}}`)
		return wants(status.Code(err) == codes.InvalidArgument && r.code == http.StatusBadRequest && strings.Contains(r.body, "UNKNOWN_FIELD"), nil, r)
	},
	"blades_changed": func(t *testing.T, h *house) error {
		m := goodSolve(t)
		m.GetSaw().BladesChanged = "monday"
		with, err := h.rpc.SolveBoard(t.Context(), m)
		if err != nil {
			return err
		}
		m.GetSaw().BladesChanged = strings.Repeat("x", 65)
		_, long := h.rpc.SolveBoard(t.Context(), m)
		return wants(with.GetPlan() != nil && status.Code(long) == codes.InvalidArgument, nil, long)
	},
	"explain": func(t *testing.T, h *house) error {
		m := &ripwrightv1.CheckPlanRequest{}
		read(t, "{"+ownSaw+","+orderOf(stiles, rails)+","+plainOne+`,"setting": {"fence_mm": 80, "blades_mm": [150, 220.5, 320]}, "explain": true}`, m)
		with, err := h.rpc.CheckPlan(t.Context(), m)
		if err != nil {
			return err
		}
		e := with.GetExplanation()
		sum := e.GetOffcutsFedAgain() + e.GetSawTime()
		for _, d := range e.GetItems() {
			sum += d.GetDifference()
		}
		m.Explain = false
		without, err := h.rpc.CheckPlan(t.Context(), m)
		return wants(math.Abs(sum-with.GetDistance()) < 1e-9 && len(e.GetSearch()) > 0 && without.GetExplanation() == nil, err, with)
	},
	"request_id": func(t *testing.T, h *house) error {
		r := h.send(t, http.MethodGet, "/v1/serverInfo", http.Header{"X-Request-Id": {"zq7 5"}}, nil)
		return wants(r.header.Get("X-Request-Id") == "zq7 5", nil, r)
	},
}

func tally(t *testing.T, h *house, more string) (*ripwrightv1.TallyPackResponse, error) {
	t.Helper()
	m := &ripwrightv1.TallyPackRequest{}
	read(t, `{"packs": [{"pack_id": "p", "species": "white oak", "nominal_thickness_in": 1, "boards": [{"metric": {"width_mm": 200, "length_mm": 2400}}]}],`+more+`}`, m)
	return ripwrightv1.NewTallyServiceClient(h.conn).TallyPack(t.Context(), m)
}

func short(t *testing.T) *ripwrightv1.QuoteOrderRequest {
	t.Helper()
	m := &ripwrightv1.QuoteOrderRequest{}
	read(t, `{`+byName+`,`+orderOf(stiles)+`,`+fewBoards+`, "simulations": 3, "compare": ["VALUE_CHOICE_YIELD"]}`, m)
	return m
}

// The service does what its features promise, and every feature is tried here.
func TestFeatures(t *testing.T) {
	h := open(t)
	info, err := ripwrightv1.NewInfoServiceClient(h.conn).GetServerInfo(t.Context(), &ripwrightv1.GetServerInfoRequest{})
	if err != nil {
		t.Fatal(err)
	}
	said, tried := slices.Sorted(slices.Values(info.GetFeatures())), slices.Sorted(maps.Keys(probes))
	if !slices.Equal(said, tried) {
		t.Errorf("it says %q, tried are %q", said, tried)
	}
	for _, name := range said {
		if p, ok := probes[name]; ok {
			if err := p(t, h); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	limits := map[string]float64{}
	for _, l := range info.GetLimits() {
		limits[l.GetMessage()+"."+l.GetField()+" "+l.GetKind().String()] = l.GetMax()
	}
	for name, want := range map[string]float64{
		"Pack.boards LIMIT_KIND_ENTRIES": 20000, "PackLumber.face_m2 LIMIT_KIND_NUMBER": 9000, "Pack.pack_id LIMIT_KIND_CHARACTERS": 128,
		"Board.length_mm LIMIT_KIND_NUMBER": 20000, "Lumber.lots LIMIT_KIND_ENTRIES": 32,
	} {
		if limits[name] != want {
			t.Errorf("%s is limited to %g, want %g", name, limits[name], want)
		}
	}
}
