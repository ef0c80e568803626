package line

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/testdata/brief"
)

// throughOutfeed cuts an order to its end and gives the summary; on each kind of line the
// same boards meet the same outcomes. Either boards wait for their confirmation, or some
// are not cut: with both, if the last board of an order is not cut, another board would
// follow a waiting one on the line without a limit.
func throughOutfeed(t *testing.T, up string, seed uint64) *ripwrightv1.RunSummary {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 3))
	chaos := rand.New(rand.NewPCG(seed, 4))
	s := open(t, nil).stream(t)
	a := s.say(up)
	full := func() bool { // confirmed
		for _, f := range a.GetFills() {
			if f.GetMade().GetLengthM() < f.GetRequired().GetLengthM() {
				return false
			}
			for _, l := range f.GetLengths() {
				if l.GetMade() < l.GetRequired() {
					return false
				}
			}
		}
		return true
	}
	var waits []int32
	fates := map[int32]float64{}
	confirm := func() {
		outcome := "AS_PLANNED"
		if seed%2 == 0 && fates[waits[0]] < 0.2 {
			outcome = "NOT_CUT"
		}
		a = s.say(confirmed(waits[0], outcome, ""))
		waits = waits[1:]
	}
	for n := 0; !full(); n++ {
		if n == 400 {
			t.Fatalf("not full: %v", a.GetFills())
		}
		fate := r.Float64()
		next := someBoard(r, n)
		for a.GetOrderFull() && len(waits) > 0 || len(waits) > int(seed%2)*2 {
			confirm()
		}
		if full() {
			break
		}
		a = s.say(next)
		waits = append(waits, a.GetSequence())
		fates[a.GetSequence()] = fate
		if chaos.IntN(5) == 0 {
			s = open(t, nil).stream(t)
			a = s.resume(a.GetState())
		}
	}
	for len(waits) > 0 {
		confirm()
	}
	return s.say(`{"end": {}}`).GetSummary()
}

// The lumber that the summary says an order would have taken without the limit of bays is
// what a line without it takes of the same boards, board by board, cut or not; what it
// took with bays is all that was cut. RIPWRIGHT_EVERY tries 60 orders, otherwise three.
func TestBaysLumber(t *testing.T) {
	brief.Skip(t)
	more, worse, seeds := 0, 0, uint64(3)
	if os.Getenv("RIPWRIGHT_EVERY") != "" {
		seeds = 60
	}
	for seed := range seeds {
		count := 1 + seed%3
		up := strings.Replace(ofBays(fmt.Sprintf(`"bays": %d`, count), ""), `"width_mm": 84, "value": 12, "required": {"length_m": 12}`,
			`"width_mm": 84, "crosscut": {"lengths": [{"length_mm": 640, "value": 0.9, "required": 9}, {"length_mm": 410, "value": 0.5, "required": 14}]}`, 1)
		by := throughOutfeed(t, up, seed)
		free := throughOutfeed(t, strings.Replace(up, fmt.Sprintf(`"outfeed_bays": {"bays": %d}, `, count), "", 1), seed)
		if free.GetBays() != nil {
			t.Fatal(free)
		}
		cut := func(s *ripwrightv1.RunSummary) int32 {
			for _, o := range s.GetOutcomes() {
				if o.GetOutcome() == ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED {
					return o.GetBoards()
				}
			}
			return 0
		}
		b := by.GetBays().GetLumber()
		if len(b) != 1 {
			t.Fatalf("%v", by)
		}
		l := b[0]
		near := func(x, y float64) bool { return math.Abs(x-y) < 1e-9 }
		if !l.GetFull() || l.GetBoards() != cut(by) || !near(l.GetFaceM2(), by.GetAccount().GetFaceM2()) || l.GetBoardsUnproven() != 0 || l.GetBoardsUnsearched() != 0 {
			t.Errorf("seed %d: %v of %v", seed, l, by)
		}
		if !l.GetFreeFull() {
			if cut(free) < cut(by) {
				t.Errorf("seed %d: %v, and without a limit %d boards", seed, l, cut(free))
			}
			continue
		}
		if l.GetFreeBoards() != cut(free) || !near(l.GetFreeFaceM2(), free.GetAccount().GetFaceM2()) ||
			!near(l.GetExtraFaceM2(), by.GetAccount().GetFaceM2()-free.GetAccount().GetFaceM2()) || !near(l.GetExtraRatio(), l.GetExtraFaceM2()/l.GetFreeFaceM2()) {
			t.Errorf("seed %d: %v; without a limit %v", seed, l, free)
		}
		more++
		if l.GetExtraFaceM2() > 0 {
			worse++
		}
		t.Logf("%d bays: %v", count, l)
	}
	if more < 2 || worse < 2 {
		t.Errorf("the books without a limit were filled %d times, sooner %d times", more, worse)
	}
}

// As many bays as stacks cost nothing. A search without time, and a board with
// instructions, are reported; an order without an end has no figure.
func TestBaysLumberTold(t *testing.T) {
	of := func(up string, boards ...string) *ripwrightv1.BayLumber {
		t.Helper()
		s := open(t, nil).stream(t)
		s.say(up)
		for _, b := range boards {
			s.say(confirmed(s.say(b).GetSequence(), "AS_PLANNED", ""))
		}
		all := s.say(`{"end": {}}`).GetSummary().GetBays().GetLumber()
		if len(all) == 0 {
			return nil
		}
		return all[0]
	}
	enough := of(ofBays(`"bays": 4`, ""), board, board)
	if enough.GetBoards() != 2 || enough.GetFreeBoards() != 2 || enough.GetBoardsUnproven() != 0 || enough.GetBoardsUnsearched() != 0 || enough.ExtraFaceM2 != nil {
		t.Errorf("enough bays: %v", enough)
	}
	if l := of(ofBays(`"bays": 1`, `"work_limit": 40,`), board, board); l.GetBoardsUnproven()+l.GetBoardsUnsearched() == 0 {
		t.Errorf("no steps: %v", l)
	}
	if l := of(ofBays(`"bays": 2`, ""), board, instructed(`"forbidden": ["stile"]`)); l.GetBoards() != 2 || l.GetFreeBoards() != 2 || l.GetBoardsUnsearched() != 1 {
		t.Errorf("instructed: %v", l)
	}
	if l := of(strings.Replace(ofBays(`"bays": 2`, ""), `, "required": {"length_m": 15}`, "", 1), board); l != nil {
		t.Errorf("without an end: %v", l)
	}
	// A state whose second books are inconsistent is refused.
	h := open(t, nil)
	s := h.stream(t)
	s.say(ofBays(`"bays": 2`, ""))
	good := s.say(board).GetState()
	for what, spoil := range map[string]func(*kept){
		"less than nothing": func(k *kept) { k.Run.Entries[0].Free.Made = -1 },
		"from the future":   func(k *kept) { k.Run.Entries[0].Free.Since = 99 },
		"of no item":        func(k *kept) { k.Run.Held[0].Free.Strips = []run.Strip{{Item: "none"}} },
		"no search":         func(k *kept) { k.Run.Held[0].Free.Search = 3 },
		"more than all":     func(k *kept) { k.Run.Totals.Bays.Lumber = []run.FreeFace{{FreeBoards: 1}} },
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

// What a caller reports as made counts in both books; each following order has separate
// books, and the figures since a mark are of the boards since.
func TestBaysLumberOrders(t *testing.T) {
	h := open(t, nil)
	s := h.stream(t)
	up := strings.Replace(ofBays(`"bays": 1, "change_s": 45`, ""), `"order": {`, `"next_orders": [`+ofStiles("second", 9)+`], "order": {`, 1)
	a := s.say(up)
	for n := 0; a.GetOrderId() == "o1"; n++ {
		if n == 60 {
			t.Fatal(a)
		}
		a = s.say(board)
		s.say(confirmed(a.GetSequence(), "AS_PLANNED", ""))
		if n == 3 {
			sum := s.say(`{"sum_up": {"set_mark": true}}`).GetSummedUp().GetSummary().GetBays().GetLumber()
			if len(sum) != 1 || sum[0].GetBoards() != 4 || sum[0].GetFull() || sum[0].GetFreeFull() || sum[0].ExtraFaceM2 != nil {
				t.Errorf("%v", sum)
			}
		}
	}
	since := s.say(`{"sum_up": {"since_mark": true}}`).GetSummedUp().GetSummary().GetBays().GetLumber()
	bays := s.say(`{"end": {}}`).GetSummary().GetBays()
	all := bays.GetLumber()
	if len(all) != 2 || all[0].GetOrderId() != "o1" || !all[0].GetFull() || !all[0].GetFreeFull() || all[0].GetExtraFaceM2() <= 0 || all[1].GetOrderId() != "second" || all[1].GetBoards() != 1 || all[1].GetFull() {
		t.Errorf("%v", all)
	}
	if len(since) != 2 || since[0].GetBoards() != all[0].GetBoards()-4 || math.Abs(since[0].GetExtraFaceM2()-all[0].GetExtraFaceM2()) > 1e-9 {
		t.Errorf("%v after the mark, %v in all", since, all)
	}

	face := 0.0
	for _, l := range all {
		face += l.GetFaceM2() + l.GetFreeFaceM2()
	}
	if got := total(t, h, "ripwright_outfeed_bays_face_area_square_meters_total"); math.Abs(got-face) > 1e-9 {
		t.Errorf("metrics have %g m2, want %g", got, face)
	}
	if got := total(t, h, "ripwright_outfeed_bay_changes_total"); got != float64(bays.GetChanges()) || got == 0 {
		t.Errorf("metrics have %g changes: %v", got, bays)
	}
	if got := total(t, h, "ripwright_outfeed_bay_changing_seconds_total"); got != 45*float64(bays.GetChanges()) {
		t.Errorf("metrics have %g s for %d changes", got, bays.GetChanges())
	}

	s = open(t, nil).stream(t)
	s.say(ofBays(`"bays": 1`, ""))
	a = s.say(board)
	a = s.say(confirmed(a.GetSequence(), "AS_PLANNED", ""))
	state := &kept{}
	if err := json.Unmarshal(textOf(a.GetState()), state); err != nil {
		t.Fatal(err)
	}
	was := map[string]int64{}
	for _, e := range state.Run.Entries {
		was[e.Item] = e.Free.Made - e.Made
	}
	m := ofBays(`"bays": 1`, "")
	_, m, _ = strings.Cut(m, `"order": `)
	m = strings.TrimSuffix(strings.TrimSpace(m), "}}")
	a = s.say(`{"order_change": {"order": ` + strings.Replace(m, `"required": {"length_m": 40}`, `"required": {"length_m": 40}, "made": {"length_m": 30}`, 1) + `}}`)
	if a.GetOrderChanged() == nil {
		t.Fatal(a)
	}
	if err := json.Unmarshal(textOf(a.GetState()), state); err != nil {
		t.Fatal(err)
	}
	for _, e := range state.Run.Entries {
		if want := was[e.Item]; e.Item == "rail" && (e.Made != 30_000_000 || e.Free.Made != max(30_000_000+want, 0)) || e.Item != "rail" && e.Free.Made-e.Made != want {
			t.Errorf("%s: %d made, %d without a limit; they were %d apart", e.Item, e.Made, e.Free.Made, want)
		}
	}
}
