package wire

import (
	"math"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

// skewed is a job whose board is 5 mm off the fence at x = 0 and is set at 2.5 mm per m
// so that both ends touch it.
func skewed() (*Job, *rip.Plan) {
	b := wood.Board{Length: 2000 * mm, Stations: []wood.Station{
		{X: 0, Near: 5 * mm, Far: 205 * mm}, {X: 2000 * mm, Near: 0, Far: 200 * mm}}}
	s := saw.Saw{Kerf: 4 * mm, Step: mm / 2, Skew: 3 * mm, Fence: saw.Travel{Max: 100 * mm, Current: 20 * mm},
		Blades: []saw.Blade{{At: 60 * mm}, {Moving: true, Travel: saw.Travel{Max: 300 * mm, Current: 250 * mm}}, {At: 400 * mm}}}
	p := &rip.Plan{Skew: 5 * mm / 2, Fence: 50 * mm, Blades: []unit.Length{60 * mm, 130 * mm, 400 * mm}}
	return &Job{Problem: rip.Problem{Board: b, Saw: s}}, p
}

// Cut lines are on the board as it was scanned. The first blade is 10 mm from the fence:
// with the skew of 2.5 mm per m the board's ends move by 0 and 5 mm and all of it by -5
// mm, so its kerf begins at 15 mm at one end and at 10 at the other.
func TestCutLines(t *testing.T) {
	j, p := skewed()
	got := j.cutLines(p)
	want := []*ripwrightv1.CutLine{{Blade: 0, StartMm: 15, EndMm: 10, KerfMm: 4}, {Blade: 1, StartMm: 85, EndMm: 80, KerfMm: 4}}
	if len(got) != len(want) {
		t.Fatalf("%v; the third blade is not in the wood", got)
	}
	for i, w := range want {
		if g := got[i]; g.GetBlade() != w.GetBlade() || g.GetStartMm() != w.GetStartMm() || g.GetEndMm() != w.GetEndMm() || g.GetKerfMm() != w.GetKerfMm() {
			t.Errorf("%v, want %v", g, w)
		}
	}
	// The same for a board that is scanned as it then lies.
	j.Problem.Board, p.Skew = j.Problem.Board.Skewed(p.Skew), 0
	for i, g := range j.cutLines(p) {
		if y := 10 + 70*float64(i); g.GetStartMm() != y || g.GetEndMm() != y {
			t.Errorf("without a skew %v, want %g mm at both ends", g, y)
		}
	}
	// Beyond stations that do not reach the ends the edge stays level.
	j, p = skewed()
	j.Problem.Board.Stations[0].X, j.Problem.Board.Stations[1].X = 400*mm, 1600*mm
	g := j.cutLines(p)[0]
	// At 0 the near edge is at 5, at 2000 mm at 0 and skewed at 5; at 1600 mm at 4:
	// the least, so all moves by -4 mm.
	if math.Abs(g.GetStartMm()-14) > 1e-9 || math.Abs(g.GetEndMm()-9) > 1e-9 {
		t.Errorf("held level: %v", g)
	}
}

func TestTargets(t *testing.T) {
	j, p := skewed()
	got := j.targets(p)
	want := []struct {
		axis     ripwrightv1.Axis
		blade    int32
		from, to float64
	}{{ripwrightv1.Axis_AXIS_FENCE, 0, 20, 50}, {ripwrightv1.Axis_AXIS_BLADE, 1, 250, 130}, {ripwrightv1.Axis_AXIS_SKEW, 0, 0, 2.5}}
	if len(got) != len(want) {
		t.Fatal(got)
	}
	for i, w := range want {
		if g := got[i]; g.GetAxis() != w.axis || g.GetBlade() != w.blade || g.GetFromPosition() != w.from || g.GetToPosition() != w.to {
			t.Errorf("%v, want %v", g, w)
		}
		// Only a blade has an index, and the current skew is unknown.
		if g := got[i]; (g.Blade != nil) != (w.axis == ripwrightv1.Axis_AXIS_BLADE) || (g.FromPosition != nil) != (w.axis != ripwrightv1.Axis_AXIS_SKEW) {
			t.Errorf("%v", g)
		}
	}
	// The longest move is the blade's, 120 mm: at 60 mm/s 2 s. 2 m at 40 m/min take 3 s.
	j.Pace.Feed, j.Pace.Positioning = 40*1000*int64(mm), 60*int64(mm)
	if c := j.cycle(p); c.GetFeedS() != 3 || c.GetPositioningS() != 2 || c.GetTotalS() != 5 || c.GetBoardsPerMin() != 12 ||
		c.GetLimit() != ripwrightv1.CycleLimit_CYCLE_LIMIT_FEED {
		t.Errorf("%v", c)
	}
	// With the saw already there nothing moves.
	j.Place(going(p))
	if c := j.cycle(p); c.GetPositioningS() != 0 {
		t.Errorf("%v", c)
	}
	// Positions of another saw, or outside the travel, are ignored.
	before := standing(&j.Problem.Saw)
	j.Place([]unit.Length{1, 2})
	j.Place([]unit.Length{-mm, 0, 301 * mm, 0})
	if after := standing(&j.Problem.Saw); after[0] != before[0] || after[2] != before[2] {
		t.Errorf("stands at %v, before at %v", after, before)
	}
}

// Strips are compared by their real widths, items by those that they can have.
func TestStackWarnings(t *testing.T) {
	l := &Line{Threshold: 2 * mm,
		Items: []order.Item{{ID: "a", Min: 50 * mm, Max: 50 * mm}, {ID: "b", Min: 51 * mm, Max: 51 * mm}, {ID: "c", Min: 40 * mm, Max: 80 * mm}},
		More:  []Item{{Stack: "1"}, {Stack: "2"}, {Stack: "1"}}}
	j := &Job{Problem: rip.Problem{Items: l.Items}, Items: l.More}
	check := func(what string, got []*ripwrightv1.StackWarning, want ...ripwrightv1.StackWarning) {
		t.Helper()
		if len(got) != len(want) {
			t.Fatalf("%s: %v", what, got)
		}
		for i := range want {
			if g, w := got[i], &want[i]; g.GetItemId() != w.GetItemId() || g.GetOtherItemId() != w.GetOtherItemId() || g.GetApartMm() != w.GetApartMm() {
				t.Errorf("%s: %v, want %v", what, g, w)
			}
		}
	}
	check("the order", l.MixedItems(), ripwrightv1.StackWarning{ItemId: "a", OtherItemId: "b", ApartMm: 1},
		ripwrightv1.StackWarning{ItemId: "b", OtherItemId: "c", ApartMm: 0})
	pocket := func(item int, width unit.Length) rip.Pocket { return rip.Pocket{Item: item, Right: width} }
	p := &rip.Plan{Pockets: []rip.Pocket{pocket(2, 49500*unit.Micrometre), pocket(rip.None, 50*mm), pocket(1, 51*mm), pocket(2, 50*mm)}}
	check("a plan", l.mixedStrips(j, p), ripwrightv1.StackWarning{ItemId: "b", OtherItemId: "c", ApartMm: 1})
	p.Pockets = []rip.Pocket{pocket(2, 49*mm), pocket(1, 51*mm)}
	check("strips as far apart as the threshold", l.mixedStrips(j, p))
	l.Threshold = 0
	check("no threshold", append(l.mixedStrips(j, p), l.MixedItems()...))
}
