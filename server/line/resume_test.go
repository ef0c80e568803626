package line

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus/testutil"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/bays"
)

// A server that drains ends its streams, and another one resumes them where they were.
func TestDraining(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	a := s.say(board)
	h.close()
	if _, err := s.Recv(); status.Code(err) != codes.Unavailable {
		t.Fatalf("drained with %v", err)
	}
	s = open(t, nil).stream(t)
	b := s.resume(a.GetState())
	if len(ready(b).GetUnconfirmed()) != 1 || ready(b).GetUnconfirmed()[0].GetBoardId() != "b" || b.GetResumed() == nil || b.GetSequence() != 2 || string(b.GetState()) != string(a.GetState()) {
		t.Fatal(b)
	}
	fill(t, "taken up", b, 31.5, 4.8, 83.7)
	fill(t, "confirmed there", s.say(asPlan+`2}}`), 36.3, 0, 83.7)
}

// Metrics count a confirmation once, also if a stream broke before its answer and it is
// confirmed again from the earlier state; the same holds for ConfirmCut.
func TestCountedOnce(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	a := s.say(board)
	for range 3 {
		s := h.stream(t)
		s.resume(a.GetState())
		fill(t, "again", s.say(asPlan+`2}}`), 36.3, 0, 83.7)
	}
	req := &ripwrightv1.ConfirmCutRequest{}
	if err := protojson.Unmarshal([]byte(strings.TrimSuffix(strings.TrimPrefix(board, `{"board": `), `}}`)+`, "saw_name": "heron",
		"confirmation_id": "c1", "outcome": "CUT_OUTCOME_AS_PLANNED", "order": `+items+`,
		"strips": [{"item_id": "stile", "width_mm": 66.6, "stretches": [{"length_mm": 2400}]}]}`), req); err != nil {
		t.Fatal(err)
	}
	var first *ripwrightv1.ConfirmCutResponse
	for i := range 3 {
		r, err := h.client.ConfirmCut(t.Context(), req)
		if err != nil {
			t.Fatal(err)
		}
		if (r.GetResult() == ripwrightv1.ConfirmationResult_CONFIRMATION_RESULT_COUNTED_BEFORE) != (i > 0) || r.GetFills()[0].GetMadeAfter().GetLengthM() != 33.9 {
			t.Errorf("time %d: %v", i, r)
		}
		r.Result = 0
		if first == nil {
			first = r
		} else if !proto.Equal(first, r) {
			t.Errorf("%v\nthen %v", first, r)
		}
	}
	// The same name with other content is refused, and counts nothing.
	other := proto.CloneOf(req)
	other.Strips[0].WidthMm = 66.5
	if _, err := h.client.ConfirmCut(t.Context(), other); status.Code(err) != codes.AlreadyExists {
		t.Errorf("another content: %v", err)
	}
	const want = `
# HELP ripwright_boards_cut_total Boards whose cut was confirmed, by saw and outcome: as_planned, as_measured, not_cut, runner_up, something_else, sent_back or set_aside.
# TYPE ripwright_boards_cut_total counter
ripwright_boards_cut_total{outcome="as_measured",saw="heron"} 0
ripwright_boards_cut_total{outcome="as_planned",saw="heron"} 2
ripwright_boards_cut_total{outcome="not_cut",saw="heron"} 0
ripwright_boards_cut_total{outcome="runner_up",saw="heron"} 0
ripwright_boards_cut_total{outcome="sent_back",saw="heron"} 0
ripwright_boards_cut_total{outcome="set_aside",saw="heron"} 0
ripwright_boards_cut_total{outcome="something_else",saw="heron"} 0
# HELP ripwright_cut_strip_length_meters_total Length of strips that were cut, by order and item; only of orders seen lately; all others are under other.
# TYPE ripwright_cut_strip_length_meters_total counter
ripwright_cut_strip_length_meters_total{item="other",order=""} 0
ripwright_cut_strip_length_meters_total{item="stile",order="o1"} 7.199999999999999
# HELP ripwright_order_made_length_meters Made of the order: confirmed on a live line, else as last sent, for items counted in length.
# TYPE ripwright_order_made_length_meters gauge
ripwright_order_made_length_meters{item="stile",order="o1"} 36.3
`
	if err := testutil.GatherAndCompare(h.Registry, strings.NewReader(want),
		"ripwright_boards_cut_total", "ripwright_cut_strip_length_meters_total", "ripwright_order_made_length_meters"); err != nil {
		t.Error(err)
	}
}

// A state of another layout, or an inconsistent one, is refused.
func TestWrongStates(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	s.say(setUp)
	good := s.say(board).GetState()
	for what, c := range map[string]struct {
		spoil func(*kept)
		code  codes.Code
	}{
		"another layout":  {func(k *kept) { k.Layout++ }, codes.FailedPrecondition},
		"no run":          {func(k *kept) { k.Run = nil }, codes.InvalidArgument},
		"no set-up":       {func(k *kept) { k.SetUp = nil }, codes.InvalidArgument},
		"another order":   {func(k *kept) { k.Run.Order = "x" }, codes.InvalidArgument},
		"less made":       {func(k *kept) { k.Run.Entries[0].Made = -1 }, codes.InvalidArgument},
		"an item less":    {func(k *kept) { k.Run.Entries, k.Run.Held = nil, nil }, codes.InvalidArgument},
		"bays unasked":    {func(k *kept) { k.Bays = bays.New(2) }, codes.InvalidArgument},
		"backward travel": {func(k *kept) { k.Run.Held[0].Ways[0].Blades[2].Travel = -1 }, codes.InvalidArgument},
	} {
		var k kept
		if err := json.Unmarshal(textOf(good), &k); err != nil {
			t.Fatal(err)
		}
		c.spoil(&k)
		s := h.stream(t)
		if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{
			Resume: &ripwrightv1.LineResume{State: sealed(t, k)}}}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); status.Code(err) != c.code {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func sealed(t testing.TB, k kept) []byte {
	t.Helper()
	text, err := json.Marshal(k)
	if err != nil {
		t.Fatal(err)
	}
	return summed(text)
}

// textOf is the text within a state.
func textOf(state []byte) []byte {
	text, _ := unpacked(state)
	return text
}

func summed(text []byte) []byte {
	state, err := packed(text)
	if err != nil {
		panic(err)
	}
	return state
}

// The memory of names is bounded: the oldest name goes first.
func TestOnce(t *testing.T) {
	o := newOnce(2)
	for i, c := range []struct {
		name  string
		first bool
	}{{"a", true}, {"a", false}, {"b", true}, {"a", false}, {"c", true}, {"b", false}, {"a", true}, {"c", false}} {
		if got, same := o.first(c.name, 7); got != c.first || !same {
			t.Errorf("%d: %s is new: %t", i, c.name, got)
		}
	}
	if isNew, same := o.first("c", 8); isNew || same {
		t.Error("another content passes for the same")
	}
}

// packed packs a whole text as a state.
func packed(text []byte) ([]byte, error) {
	h, err := begun(nil)
	if err != nil {
		return nil, err
	}
	return h.with(text)
}
