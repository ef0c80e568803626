package trial

import (
	"context"
	"strings"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

const lineBase = `"sequence": 1, "set_up": {"run_id": "zq7-r", "boards_in_flight": 5, "stack_threshold_mm": 2,
 "options": {"runners_up": 1, "time_limit_ms": 600000, "work_limit": 2000, ` + detail + `}, `

const valuePlanning = `"value_planning": {"replan_every_boards": 3, "set_aside_loss": 0.4,
 "expected": [{"board_id": "zq7-b", "pack_id": "zq7-p", "length_mm": 2400, "thickness_mm": 25.4, "stations": [{"x_mm": 10, "near_mm": 0, "far_mm": 240}],
  "defects": [{"from_x_mm": 300, "to_x_mm": 340, "from_y_mm": 50, "to_y_mm": 75, "kind": "zq7-knot"}]}],
 "rules": [{"item_id": "zq7-stile", "keep": true}, {"item_id": "zq7-panel", "times": 1.5}]}, `

// parts splits the good request of SolveBoard for the messages of a line.
func parts() (board, sawAndOrder, saw, order string) {
	board, sawAndOrder, _ = strings.Cut(base, ` "saw": {"name"`)
	sawAndOrder = ` "saw": {"name"` + sawAndOrder
	saw, order, _ = strings.Cut(sawAndOrder, ` "order": `) // the current setting goes with the saw
	return strings.TrimSuffix(strings.TrimSpace(board), ","), sawAndOrder, strings.TrimSuffix(strings.TrimSpace(saw), ","), order
}

// lineMessages are valid ones: a set-up, and what can be the third message after a set-up
// and a board.
func lineMessages(t *testing.T) []*ripwrightv1.RunLineRequest {
	board, sawAndOrder, saw, order := parts()
	var all []*ripwrightv1.RunLineRequest
	for _, text := range []string{
		lineBase + sawAndOrder + `}`,
		`"sequence": 3, "board": {` + board + `, "answer_within_ms": 600000}`,
		`"sequence": 3, "confirmation": {"board_sequence": 2, "outcome": "CUT_OUTCOME_AS_MEASURED", ` + cutStrips + `}`,
		`"sequence": 3, "order_change": {"order": ` + order + `}`,
		`"sequence": 3, "saw_change": {` + saw + `}`,
		`"sequence": 3, "confirmation": {"board_sequence": 2, "outcome": "CUT_OUTCOME_RUNNER_UP", "runner_up": 0}`,
		lineBase + valuePlanning + sawAndOrder + `}`,
	} {
		m := &ripwrightv1.RunLineRequest{}
		read(t, `{`+text+`}`, m)
		all = append(all, m)
	}
	return all
}

// tell sends a message in a valid place and returns its faults, by field, and whether the
// stream continues.
func (h *house) tell(t *testing.T, m *ripwrightv1.RunLineRequest) (wrong map[string]string, lives bool) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	s, err := h.rpc.RunLine(ctx)
	if err != nil {
		t.Fatal(err)
	}
	exchange := func(m *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
		if err := s.Send(m); err != nil {
			t.Fatal(err)
		}
		return s.Recv()
	}
	if m.GetSetUp() == nil && m.GetResume() == nil {
		for _, before := range []*ripwrightv1.RunLineRequest{lineMessages(t)[0], lineMessages(t)[1]} {
			if before.GetBoard() != nil {
				before.Sequence = 2
			}
			if a, err := exchange(before); err != nil || a.GetRefused() != nil {
				t.Fatalf("%v %v", a, err)
			}
		}
	}
	wrong = map[string]string{}
	a, err := exchange(m)
	if err != nil {
		for _, d := range status.Convert(err).Details() {
			if b, ok := d.(*errdetails.BadRequest); ok {
				for _, f := range b.GetFieldViolations() {
					wrong[f.GetField()] = f.GetDescription()
				}
			}
		}
		if len(wrong) == 0 {
			t.Errorf("%v", err)
		}
		return wrong, false
	}
	for _, f := range a.GetRefused().GetFaults() {
		wrong[f.GetPath()] = f.GetSays()
	}
	return wrong, true
}

func (h *house) lineRefuses(t *testing.T, what string, m proto.Message, field, says string) {
	t.Helper()
	req := m.(*ripwrightv1.RunLineRequest)
	wrong, lives := h.tell(t, req)
	if got, ok := wrong[field]; !ok || len(wrong) != 1 || !strings.Contains(got, says) {
		t.Errorf("%s: %v, want %s with %q alone", what, wrong, field, says)
	}
	if ends := req.GetSetUp() != nil || field == "sequence"; lives == ends {
		t.Errorf("%s: the stream stays open: %t", what, lives)
	}
}

// Every number, string, list and enum value in a line's messages that is out of its
// limits is refused by its path; except after a set-up the stream continues.
func TestWrongLineMessages(t *testing.T) {
	h, tried := open(t), once{}
	for _, m := range lineMessages(t) {
		if wrong, lives := h.tell(t, m); len(wrong) > 0 || !lives {
			t.Fatalf("the valid message is refused: %v", wrong)
		}
		for _, s := range spots(m.ProtoReflect()) {
			if s.path == "sequence" {
				continue // has a separate test
			}
			if tried.again(s) {
				continue
			}
			if g, ok := limits.Of(s.field, limits.Numbers); ok && (!s.field.IsList() || s.entry >= 0) {
				for _, v := range wrongNumbers(s.field.Kind(), g) {
					h.lineRefuses(t, s.path+" = "+v.String(), s.with(m, v), s.path, g.String())
				}
			}
			if g, ok := limits.Of(s.field, limits.Characters); ok && s.field.Kind() == protoreflect.StringKind && (!s.field.IsList() || s.entry >= 0) {
				tooLong := protoreflect.ValueOfString(strings.Repeat("ß", int(g.Most)+1))
				h.lineRefuses(t, s.path+" too long", s.with(m, tooLong), s.path, g.String())
			}
			if g, ok := limits.Of(s.field, limits.Entries); ok && s.entry < 0 {
				h.lineRefuses(t, s.path+" too many", s.stretched(m, int(g.Most)+1), s.path, g.String())
			}
			if s.field.Kind() == protoreflect.EnumKind {
				h.lineRefuses(t, s.path+" unknown", s.with(m, protoreflect.ValueOfEnum(99)), s.path, lastOf(s.field))
			}
		}
	}
	quiet(t, h)
}

// Planning of values: fields that are valid alone and wrong together with others.
func TestWrongValuePlanning(t *testing.T) {
	h := open(t)
	_, sawAndOrder, _, _ := parts()
	whole := `{` + lineBase + valuePlanning + sawAndOrder + `}}`
	for what, c := range map[string]struct{ from, to, field, says string }{
		"rule for nothing": {`{"item_id": "zq7-stile", "keep": true}`, `{"item_id": "zq7-stile"}`, "rules[0]", "set times or keep"},
		"rule not kept":    {`"keep": true`, `"keep": false`, "rules[0].keep", "omit the rule"},
		"unknown item":     {`{"item_id": "zq7-stile", "keep"`, `{"item_id": "zq7-style", "keep"`, "rules[0].item_id", "the order has no such item"},
		"two rules":        {`{"item_id": "zq7-panel", "times"`, `{"item_id": "zq7-stile", "times"`, "rules[1].item_id", "name each item at most once"},
		"no wood":          {`[{"x_mm": 10, "near_mm": 0, "far_mm": 240}],`, `[],`, "expected[0].stations", "at least one station"},
		"edges cross":      {`"near_mm": 0, "far_mm": 240}],`, `"near_mm": 241, "far_mm": 240}, {"x_mm": 20, "far_mm": 9}],`, "expected[0].stations[0].far_mm", "the edges cross"},
	} {
		m := &ripwrightv1.RunLineRequest{}
		if text := strings.Replace(whole, c.from, c.to, 1); text != whole {
			read(t, text, m)
		} else {
			t.Fatalf("%s: %s is not in the request", what, c.from)
		}
		h.lineRefuses(t, what, m, "set_up.value_planning."+c.field, c.says)
	}
	// What cannot be planned is refused if planning is asked for, and only then.
	short := strings.Replace(whole, `"piece_length_mm": 700`, `"piece_length_mm": 19`, 1)
	m := &ripwrightv1.RunLineRequest{}
	read(t, short, m)
	h.lineRefuses(t, "pieces too short", m, "set_up.order.items[2].piece_length_mm", "at least 20")
	m.GetSetUp().ValuePlanning = nil
	if wrong, lives := h.tell(t, m); len(wrong) > 0 || !lives {
		t.Errorf("without planning: %v", wrong)
	}
	quiet(t, h)
}

// Only the next number is accepted, and any other first message ends the stream.
func TestLineOrder(t *testing.T) {
	h := open(t)
	for _, m := range lineMessages(t) {
		for _, n := range []int32{-1, 0, 2, 4, 1<<31 - 1} {
			m := proto.CloneOf(m)
			m.Sequence = n
			h.lineRefuses(t, "sequence", m, "sequence", "must be")
		}
	}
	for _, first := range []*ripwrightv1.RunLineRequest{
		{Sequence: 1}, {Sequence: 1, Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}},
	} {
		s, err := h.rpc.RunLine(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Send(first); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); status.Code(err) != codes.InvalidArgument {
			t.Errorf("%v first: %v", first, err)
		}
	}
	for _, state := range []string{"", "abc", "\x00\x00\x00\x00", strings.Repeat("x", 1000)} {
		wrong, lives := h.tell(t, &ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
			Resume: &ripwrightv1.LineResume{State: []byte(state)}}})
		if lives || wrong["resume.state"] == "" {
			t.Errorf("resumed with %q: %v", state, wrong)
		}
	}
	quiet(t, h)
}
