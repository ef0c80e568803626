package line

import (
	"strings"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A board without a gain is reported with the reason; so is a full order, by the answer
// that fills it, and withdrawn when a reservation ends.
func TestDoNotFeed(t *testing.T) {
	s := open(t, nil).stream(t)
	reason := func(a *ripwrightv1.RunLineResponse) string {
		d := a.GetPlan().GetDoNotFeed()
		if (d != nil) != strings.HasPrefix(d.GetSays(), "do not feed") {
			t.Errorf("%v", d)
		}
		return strings.TrimPrefix(d.GetReason().String(), "DO_NOT_FEED_REASON_")
	}
	wants := func(what string, a *ripwrightv1.RunLineResponse, why string, full bool) {
		t.Helper()
		if reason(a) != why || a.GetOrderFull() != full {
			t.Errorf("%s: %s, full %v, want %s and %v: %v", what, reason(a), a.GetOrderFull(), why, full, a)
		}
	}
	// One board on heron makes 4.8 m: no more is wanted.
	a := s.say(strings.Replace(setUp, `{"length_m": 120}`, `{"length_m": 36}`, 1))
	wants("begun", a, "UNSPECIFIED", false)
	wants("too narrow", s.say(strings.NewReplacer("240", "60", "232", "60").Replace(board)), "WORTH_NOTHING", false)
	s.say(confirmed(2, "NOT_CUT", ""))
	wants("the one that fills it", s.say(board), "UNSPECIFIED", true)
	wants("one more", s.say(board), "ORDER_FULL", true)
	wants("it was not cut", s.say(confirmed(4, "SENT_BACK", "")), "UNSPECIFIED", false)
	s.say(confirmed(5, "NOT_CUT", ""))
	wants("again", s.say(board), "UNSPECIFIED", true)
	wants("cut", s.say(asPlan+`8}}`), "UNSPECIFIED", true)
	wants("another order", s.say(`{"order_change": {"order": {"order_id": "o2", "items": [
	  {"item_id": "door", "width_mm": 66.6, "crosscut": {"lengths": [{"length_mm": 700, "value": 1, "required": 2}]}}]}}}`), "UNSPECIFIED", false)
	wants("its pieces", s.say(board), "UNSPECIFIED", true)
	wants("no items", s.say(`{"order_change": {"order": {"order_id": "o3"}}}`), "UNSPECIFIED", true)
	wants("for no items", s.say(board), "ORDER_FULL", true)
}

// A plan that costs more of the saw's time than it is worth is no gain.
func TestDoNotFeedForTime(t *testing.T) {
	s := open(t, nil).stream(t)
	s.say(`{"set_up": {"run_id": "r1", "options": {"price_per_saw_hour": 100000}, "saw": {"name": "own", "kerf_mm": 3.6, "step_mm": 0.5, "fence": {"min_mm": 40, "max_mm": 290},
	  "blades": [{"fixed_mm": 150}, {"fixed_mm": 220.5}], "min_gap_mm": 30, "min_strip_width_mm": 25, "feed_m_per_min": 10}, "order": ` + strings.Replace(items, "66.6", "66.9", 1) + `}}`)
	if d := s.say(board).GetPlan().GetDoNotFeed(); d.GetReason() != ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_SAW_TIME {
		t.Errorf("%v", d)
	}
}
