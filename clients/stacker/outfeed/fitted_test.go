package outfeed

import (
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func metres(v float64) *ripwrightv1.Amount {
	return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: v}}
}

// ordered puts an order in force whose slats are 44.5 mm wide.
func (k *talk) ordered(id string) {
	n := k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: &ripwrightv1.LineSetUp{
		Order: &ripwrightv1.CutOrder{Items: []*ripwrightv1.Item{{ItemId: "slat", Width: &ripwrightv1.Item_WidthMm{WidthMm: 44.5}}, {ItemId: "stile"}}}}}})
	k.answer(n, &ripwrightv1.RunLineResponse{OrderId: id, Answer: &ripwrightv1.RunLineResponse_Started{Started: &ripwrightv1.LineStarted{Ready: &ripwrightv1.LineReady{}}}})
}

func (k *talk) fills(n int32, order string, fills ...*ripwrightv1.Fill) {
	k.answer(n, &ripwrightv1.RunLineResponse{OrderId: order, Fills: fills, Answer: &ripwrightv1.RunLineResponse_Plan{Plan: &ripwrightv1.LinePlan{BoardId: "b",
		Plan: &ripwrightv1.Plan{Pockets: []*ripwrightv1.Pocket{pocket("slat", 44.7, "4")}}}}})
}

// Strips have the width that was ordered and how much is made of what is wanted, without
// what still waits for confirmation; neither is shown once another order is in force.
func TestOrderedWidthAndHowFullStacksAre(t *testing.T) {
	k := begin(t, BeforeConfirmation)
	k.ordered("one")
	slat := func() Strip {
		v := k.b.View()
		if len(v.Strips) != 1 {
			t.Fatalf("%+v", v)
		}
		return v.Strips[0]
	}
	n := k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{}})
	k.fills(n, "one")
	if s := slat(); s.OrderedMM != 44.5 || s.WidthMM != 44.7 || s.FullKnown {
		t.Errorf("before any fills are known: %+v", s)
	}
	n = k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{}})
	k.fills(n, "one", &ripwrightv1.Fill{ItemId: "slat", Required: metres(80), Made: metres(20), Reserved: metres(7), MadeAfter: metres(27)},
		&ripwrightv1.Fill{ItemId: "stile", Made: metres(3)})
	if s := slat(); s.Full != 0.25 || !s.FullKnown {
		t.Errorf("20 of 80 m: %+v", s)
	}
	n = k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{}})
	k.fills(n, "one", &ripwrightv1.Fill{ItemId: "slat", Required: metres(80), Made: metres(81)})
	if s := slat(); s.Full != 1 {
		t.Errorf("81 of 80 m: %+v", s)
	}
	n = k.send(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{}})
	k.fills(n, "two")
	if s := slat(); s.OrderedMM != 0 || s.FullKnown {
		t.Errorf("with another order in force: %+v", s)
	}
}

// A stack's fill counts all items on it: by their amounts if those are in one unit,
// otherwise by the fraction of each. What exceeds one item's need does not fill
// another's.
func TestAStackIsAsFullAsItsItems(t *testing.T) {
	b := New(AtConfirmation)
	b.stacks = map[string]string{"slat": "1", "rail": "1", "shelf": "2", "leg": "2", "panel": "3", "loose": "3"}
	area := func(v float64) *ripwrightv1.Amount {
		return &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_AreaM2{AreaM2: v}}
	}
	three, five := int32(3), int32(5)
	b.fill(&ripwrightv1.RunLineResponse{Fills: []*ripwrightv1.Fill{
		{ItemId: "slat", Required: metres(80), Made: metres(100)}, {ItemId: "rail", Required: metres(20), Made: metres(5)},
		{ItemId: "shelf", Required: area(4), Made: area(3)}, {ItemId: "leg", Lengths: []*ripwrightv1.LengthFill{{Required: &five, Made: 7}, {Required: &three, Made: 1}}},
		{ItemId: "loose", Made: metres(9)}}})
	for stack, want := range map[string]float64{"1": 0.85, "2": 0.75} {
		if got, known := b.full(stack); !known || got != want {
			t.Errorf("stack %s: full is %g, known %t, want %g", stack, got, known, want)
		}
	}
	if _, known := b.full("3"); known {
		t.Error("a stack of an unlimited item, or of an unknown one, has a fill")
	}
	all := b.fitted([]Strip{{ItemID: "rail", Stack: "1"}, {ItemID: "rail"}, {Waste: true}})
	if all[0].Full != 0.85 || all[1].Full != 0.25 || all[2].FullKnown {
		t.Errorf("%+v", all)
	}
}
