package line

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/bays"
	"github.com/ripwright/ripwright/testdata/brief"
)

// ofBays is a set-up for an outfeed with bays and an order of five items for four stacks.
func ofBays(bays, options string) string {
	return `{"set_up": {"run_id": "bays", "saw_name": "heron", "boards_in_flight": 4, "outfeed_bays": {` + bays + `}, "options": {` + options + `
		"detail": {"fills": "ITEM_DETAIL_ALL"}}, "order": {"order_id": "o1", "items": [
		{"item_id": "stile", "width_mm": 66.6, "value": 14, "required": {"length_m": 30}, "stack": "1"},
		{"item_id": "rail", "width_mm": 50, "value": 13, "required": {"length_m": 40}, "stack": "2"},
		{"item_id": "slat", "width_mm": 42, "value": 11, "required": {"length_m": 20}, "stack": "2"},
		{"item_id": "panel", "width_mm": 84, "value": 12, "required": {"length_m": 12}},
		{"item_id": "shelf", "width_mm": 120, "value": 15, "required": {"length_m": 15}}]}}}`
}

// A run that plans its values plans the sequence of the stacks too: a freed bay goes to
// the first stack of that sequence and stays with it, wherever the run is resumed. The
// order is filled, and no plan goes beyond the bays.
func TestBaysPlanned(t *testing.T) {
	brief.Skip(t)
	r := rand.New(rand.NewPCG(7, 7))
	s := open(t, nil).stream(t)
	up := strings.Replace(ofBays(`"bays": 2`, ""), `"boards_in_flight"`, `"value_planning": {"replan_every_boards": 6}, "boards_in_flight"`, 1)
	a := s.say(up)
	o, turns := &outfeed{}, 0
	for n := 0; !a.GetOrderFull(); n++ {
		if n == 300 {
			t.Fatalf("not full: %v", a.GetFills())
		}
		before := maps.Clone(o.bays)
		a = s.say(someBoard(r, n))
		if beyond := o.heed(a.GetPlan()); len(beyond) > 0 || len(o.bays) > 2 {
			t.Fatalf("board %d makes %v beyond %v", n, beyond, o.bays)
		}
		k := &kept{}
		if err := json.Unmarshal(textOf(a.GetState()), k); err != nil {
			t.Fatal(err)
		}
		if b := a.GetPlan().GetBayChanges(); len(b) == 1 && len(before) == 2 && k.Course.Force != nil && len(k.Course.Force.Turn) > 0 {
			turns++
			first := slices.IndexFunc(k.Course.Force.Turn, func(of bays.Stack) bool {
				return !slices.ContainsFunc(slices.Collect(maps.Values(before)), func(b *ripwrightv1.OutfeedBay) bool { return takes(b, of) })
			})
			if first < 0 || !takes(b[0], k.Course.Force.Turn[first]) {
				t.Errorf("board %d: %v gets a bay by %v", n, b[0], k.Course.Force.Turn)
			}
		}
		number := a.GetSequence()
		a = s.say(confirmed(number, "AS_PLANNED", ""))
		for a.GetValuesUnderWay() {
			a = s.say(confirmed(number, "AS_PLANNED", ""))
		}
		if n%5 == 4 {
			s = open(t, nil).stream(t)
			s.resume(a.GetState())
		}
	}
	if turns == 0 {
		t.Error("no bay was given by a planned sequence")
	}
}

// takes reports whether a bay holds a stack.
func takes(b *ripwrightv1.OutfeedBay, of bays.Stack) bool {
	return b.GetStack() == of.Name && (of.Name != "" || slices.Contains(b.GetItemIds(), of.Item))
}

// someBoard is a board of a random length and width.
func someBoard(r *rand.Rand, id int) string {
	long, wide := 1800+r.IntN(1500), 180+r.IntN(160)
	return fmt.Sprintf(`{"board": {"board": {"board_id": "b%d", "length_mm": %d, "stations": [{"near_mm": 0, "far_mm": %d}, {"x_mm": %d, "near_mm": %d, "far_mm": %d}]}}}`,
		id, long, wide, long, r.IntN(9), wide-r.IntN(20))
}

// outfeed is what a client knows of the bays from the answers.
type outfeed struct {
	bays    map[int32]*ripwrightv1.OutfeedBay
	changes int32
}

// heed applies the changes of a plan, and reports what the plan makes beyond the bays.
func (o *outfeed) heed(p *ripwrightv1.LinePlan) (beyond []string) {
	if o.bays == nil {
		o.bays = map[int32]*ripwrightv1.OutfeedBay{}
	}
	for _, b := range p.GetBayChanges() {
		if o.bays[b.GetBay()] != nil {
			o.changes++
		}
		o.bays[b.GetBay()] = b
	}
	for _, plan := range append([]*ripwrightv1.Plan{p.GetPlan()}, p.GetRunnersUp()...) {
		for _, k := range plan.GetPockets() {
			if id := k.GetItemId(); id != "" && !o.lies(id) {
				beyond = append(beyond, id)
			}
		}
	}
	return beyond
}

func (o *outfeed) lies(item string) bool {
	for _, b := range o.bays {
		if slices.Contains(b.GetItemIds(), item) {
			return true
		}
	}
	return false
}

// An order is cut through two bays until it is full, with boards not cut among them and
// the stream resumed elsewhere now and then. No plan, runners-up included, goes beyond
// the bays as reported or uses more than there are; every bay that changes does so for a
// full stack; and the cost of the bays in the summary is the one that SolveBoard gives
// for the same boards and books, with the items without a bay forbidden and without.
func TestBays(t *testing.T) {
	h, r := open(t, nil), rand.New(rand.NewPCG(5, 6))
	s := h.stream(t)
	up := ofBays(`"bays": 2, "change_s": 45, "measure_every_boards": 1`, `"runners_up": 2,`)
	a := s.say(up)
	if len(ready(a).GetOutfeedBays()) != 0 {
		t.Errorf("%v", a)
	}
	asked := &ripwrightv1.RunLineRequest{}
	if err := protojson.Unmarshal([]byte(up), asked); err != nil {
		t.Fatal(err)
	}
	o := &outfeed{}
	worth, free, boards := 0.0, 0.0, int32(0)
	for n := 0; !a.GetOrderFull(); n++ {
		if n == 200 {
			t.Fatalf("the order is not full after %d boards: %v", n, a.GetFills())
		}
		m := &ripwrightv1.RunLineRequest{}
		if err := protojson.Unmarshal([]byte(someBoard(r, n)), m); err != nil {
			t.Fatal(err)
		}
		before := a
		a = s.send(m)
		p := a.GetPlan()
		boards++
		if beyond := o.heed(p); len(beyond) > 0 || len(o.bays) > 2 {
			t.Fatalf("board %d makes %v beyond %v", n, beyond, o.bays)
		}
		if took := 45 * float64(len(p.GetBayChanges())); n > 0 && p.GetBaysChangingS() != took {
			t.Errorf("board %d: %v changes take %g s", n, p.GetBayChanges(), p.GetBaysChangingS())
		}
		ask := &ripwrightv1.SolveBoardRequest{Board: m.GetBoard().GetBoard(), SawChoice: &ripwrightv1.SolveBoardRequest_SawName{SawName: "heron"}, Order: proto.CloneOf(asked.GetSetUp().GetOrder())}
		for i, it := range ask.GetOrder().GetItems() {
			it.Made = before.GetFills()[i].GetMadeAfter()
		}
		one, err := h.client.SolveBoard(t.Context(), ask)
		if err != nil {
			t.Fatal(err)
		}
		free += one.GetPlan().GetWorth()
		ask.Instructions = &ripwrightv1.Instructions{}
		for _, it := range ask.GetOrder().GetItems() {
			if !o.lies(it.GetItemId()) {
				ask.Instructions.Forbidden = append(ask.Instructions.Forbidden, it.GetItemId())
			}
		}
		if one, err = h.client.SolveBoard(t.Context(), ask); err != nil {
			t.Fatal(err)
		}
		if one.GetPlan().GetWorth() != p.GetPlan().GetWorth() {
			t.Errorf("board %d: worth %g, and %g with the rest forbidden", n, p.GetPlan().GetWorth(), one.GetPlan().GetWorth())
		}
		worth += p.GetPlan().GetWorth()
		outcome := "CUT_OUTCOME_AS_PLANNED"
		if r.IntN(5) == 0 {
			outcome = "CUT_OUTCOME_NOT_CUT"
		}
		a = s.say(fmt.Sprintf(`{"confirmation": {"outcome": %q, "board_sequence": %d}}`, outcome, a.GetSequence()))
		if r.IntN(4) == 0 {
			s = open(t, nil).stream(t)
			b := s.resume(a.GetState())
			for _, bay := range ready(b).GetOutfeedBays() {
				if !proto.Equal(bay, o.bays[bay.GetBay()]) {
					t.Errorf("resumed with %v, want %v", bay, o.bays)
				}
			}
			if len(ready(b).GetOutfeedBays()) != 2 {
				t.Errorf("resumed with %v", ready(b))
			}
		}
	}
	sum := s.say(`{"end": {}}`).GetSummary().GetBays()
	near := func(x, y float64) bool { return math.Abs(x-y) < 1e-9*max(1, x) }
	if sum.GetChanges() != o.changes || o.changes < 2 || sum.GetChangingS() != 45*float64(o.changes) || sum.GetBoardsMeasured() != boards {
		t.Errorf("%d changes of %d boards: %v", o.changes, boards, sum)
	}
	if !near(sum.GetWorth(), worth) || !near(sum.GetFreeWorth(), free) || sum.GetFreeWorth() != sum.GetFreeWorthBound() || worth >= free ||
		!near(sum.GetWorthRatio(), 1-worth/free) || sum.GetWorthRatio() != sum.GetWorthRatioBound() {
		t.Errorf("worth %g of %g: %v", worth, free, sum)
	}
	t.Logf("%d boards: %v", boards, sum)
}

// An item that the operator forces gets a bay; more than there are bays are refused by
// their fields, and change nothing. With as many bays as stacks only the reports change.
func TestBaysForced(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(ofBays(`"bays": 1`, ""))
	o := &outfeed{}
	a := s.say(board)
	o.heed(a.GetPlan())
	if !o.lies("rail") || !o.lies("slat") || len(o.bays) != 1 || o.bays[0].GetStack() != "2" {
		t.Fatalf("%v", a)
	}
	refused := s.say(instructed(`"forced": [{"item_id": "stile"}, {"item_id": "slat"}]`)).GetRefused()
	if f := refused.GetFaults(); len(f) != 1 || f[0].GetPath() != "board.instructions.forced[1]" && f[0].GetPath() != "board.instructions.forced[0]" || !strings.Contains(f[0].GetSays(), "no bay is left") {
		t.Errorf("%v", refused)
	}
	if p := s.say(board).GetPlan(); p == nil || len(p.GetBayChanges()) != 0 {
		t.Errorf("%v", p)
	}
	p := s.say(instructed(`"forced": [{"item_id": "stile"}]`)).GetPlan()
	if beyond := o.heed(p); len(beyond) > 0 || !o.lies("stile") || o.lies("rail") || !p.GetInstructed().GetKept() {
		t.Errorf("%v", p)
	}

	var worth [2]float64
	for i, up := range []string{ofBays(`"bays": 4`, ""), strings.Replace(ofBays(`"bays": 4`, ""), `"outfeed_bays": {"bays": 4},`, "", 1)} {
		s, r := open(t, nil).stream(t), rand.New(rand.NewPCG(1, 1))
		s.say(up)
		for n := range 4 {
			worth[i] += s.say(someBoard(r, n)).GetPlan().GetPlan().GetWorth()
		}
		sum := s.say(`{"end": {}}`).GetSummary()
		if b := sum.GetBays(); (b != nil) != (i == 0) || b != nil && (b.GetBoardsMeasured() != 1 || b.GetWorth() != b.GetFreeWorth() || b.GetChanges() != 0) {
			t.Errorf("%v", b)
		}
	}
	if worth[0] != worth[1] {
		t.Errorf("worth %g by as many bays as stacks, and %g without a limit", worth[0], worth[1])
	}
}

// paced is a saw whose feed is known.
const paced = `"saw": {"name": "own", "kerf_mm": 3.6, "step_mm": 0.5, "fence": {"min_mm": 40, "max_mm": 290}, "blades": [{"fixed_mm": 150}, {"fixed_mm": 221},
	{"moving": {"min_mm": 260, "max_mm": 420}}, {"moving": {"min_mm": 310, "max_mm": 560}}], "min_gap_mm": 30, "min_strip_width_mm": 25, "feed_m_per_min": 20}`

// If the saw's time has a price, a stack gives way to one whose absence costs more than
// the changes; if it has none, or a change takes no time, it does not.
func TestBaysTraded(t *testing.T) {
	changes := func(bays, options string) int32 {
		s, r := open(t, nil).stream(t), rand.New(rand.NewPCG(8, 8))
		up := strings.ReplaceAll(ofBays(bays, options), `: {"length_m": `, `: {"length_m": 1000`) // nothing is filled
		s.say(strings.Replace(up, `"saw_name": "heron"`, paced, 1))
		for n := range 30 {
			a := s.say(someBoard(r, n))
			s.say(fmt.Sprintf(`{"confirmation": {"outcome": "CUT_OUTCOME_AS_PLANNED", "board_sequence": %d}}`, a.GetSequence()))
		}
		return s.say(`{"end": {}}`).GetSummary().GetBays().GetChanges()
	}
	price := `"price_per_saw_hour": 60,`
	if few, many := changes(`"bays": 2, "change_s": 600, "measure_every_boards": 3`, price), changes(`"bays": 2, "change_s": 20, "measure_every_boards": 3`, price); few >= many || many == 0 {
		t.Errorf("%d changes where each costs 10, and %d where it costs 0.33", few, many)
	}
	if n := changes(`"bays": 2, "change_s": 20, "measure_every_boards": 3`, ""); n != 0 {
		t.Errorf("%d changes without a price", n)
	}
	if n := changes(`"bays": 2, "measure_every_boards": 3`, price); n != 0 {
		t.Errorf("%d changes that take no time", n)
	}
}

// A fault of the bays is reported by its field, and a state whose bays are not those of
// its set-up is refused.
func TestBaysRefused(t *testing.T) {
	for bays, wants := range map[string]string{
		`"bays": 0`:                               "set_up.outfeed_bays.bays is 0; must be a whole number, 1 to 64",
		`"bays": 65`:                              "set_up.outfeed_bays.bays",
		`"bays": 2, "change_s": -1`:               "set_up.outfeed_bays.change_s",
		`"bays": 2, "change_s": 3601`:             "set_up.outfeed_bays.change_s",
		`"bays": 2, "measure_every_boards": 0`:    "set_up.outfeed_bays.measure_every_boards",
		`"bays": 2, "measure_every_boards": 1001`: "set_up.outfeed_bays.measure_every_boards",
	} {
		m := &ripwrightv1.RunLineRequest{}
		if err := protojson.Unmarshal([]byte(ofBays(bays, "")), m); err != nil {
			t.Fatal(err)
		}
		refusedSetUp(t, m, wants)
	}
	h := open(t, nil)
	s := h.stream(t)
	s.say(ofBays(`"bays": 2`, ""))
	good := s.say(board).GetState()
	for what, spoil := range map[string]func(*kept){
		"none":       func(k *kept) { k.Bays = nil },
		"one less":   func(k *kept) { k.Bays.In = k.Bays.In[:1] },
		"one twice":  func(k *kept) { k.Bays.In[1] = k.Bays.In[0] },
		"impatient":  func(k *kept) { k.Bays.In[1].Unused = -1 },
		"less than":  func(k *kept) { k.Run.Totals.Bays.Changes = -1 },
		"waits, has": func(k *kept) { k.Bays.Waits = []bays.Waits{{Stack: k.Bays.In[0].Stack}} },
	} {
		var k kept
		if err := json.Unmarshal(textOf(good), &k); err != nil {
			t.Fatal(err)
		}
		spoil(&k)
		s := h.stream(t)
		if err := s.Send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: sealed(t, k)}}}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Recv(); status.Code(err) != codes.InvalidArgument {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// refusedSetUp sends a set-up that must be refused with these words.
func refusedSetUp(t *testing.T, m *ripwrightv1.RunLineRequest, wants string) {
	t.Helper()
	m.Sequence = 1
	s := open(t, nil).stream(t)
	if err := s.Send(m); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Recv(); err == nil || !strings.Contains(err.Error(), wants) {
		t.Errorf("%v: %v, want %s", m, err, wants)
	}
}
