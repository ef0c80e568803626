package rip_test

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// The checks in this file are facts of the trade: common practice, no source.

const mm = unit.Millimetre

// gang is a saw with fixed blades and a fence fixed at 0: a board lies with its near edge
// at the arbor's datum.
func gang(at ...unit.Length) saw.Saw {
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm}
	for _, a := range at {
		s.Blades = append(s.Blades, saw.Blade{At: a})
	}
	return s
}

func straightBoard(length, width unit.Length) wood.Board {
	return wood.Board{Length: length, Stations: []wood.Station{{Far: width}}, StraightNear: true}
}

func fixed(id string, width unit.Length) order.Item {
	return order.Item{ID: id, Min: width, Max: width, Value: 10_000_000}
}

func solve(t *testing.T, p *rip.Problem) *rip.Plan {
	t.Helper()
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r.Best
}

// Worth is width times factor: with equal factors the wider strip wins if either fits,
// and it loses once its factor is cut to a tenth. 2 m x 0.080 m x 10 = 1.60 against 2 m x
// 0.050 m x 10 = 1.00; 2 m x 0.080 m x 1 = 0.16 against 1.00.
func TestWidthTimesFactor(t *testing.T) {
	s := gang(0)
	s.Blades[0] = saw.Blade{Moving: true, Travel: saw.Travel{Min: 30 * mm, Max: 100 * mm, Current: 30 * mm}}
	p := &rip.Problem{Saw: s, Board: straightBoard(2000*mm, 90*mm),
		Items: []order.Item{fixed("wide", 80*mm), fixed("narrow", 50*mm)}}
	if b := solve(t, p); b.Pockets[0].Item != 0 || math.Abs(b.Worth.Money()-1.60) > 1e-12 {
		t.Errorf("equal factors: item %d, worth %v", b.Pockets[0].Item, b.Worth.Money())
	}
	p.Items[0].Value /= 10
	if b := solve(t, p); b.Pockets[0].Item != 1 || math.Abs(b.Worth.Money()-1.00) > 1e-12 {
		t.Errorf("a tenth: item %d, worth %v", b.Pockets[0].Item, b.Worth.Money())
	}
}

// An item stops being cut once its required length is made.
func TestFilledItemStops(t *testing.T) {
	p := &rip.Problem{Saw: gang(50 * mm), Board: straightBoard(2000*mm, 60*mm), Items: []order.Item{fixed("a", 50*mm)}}
	it := &p.Items[0]
	it.Measure, it.Required, it.Made = order.ByLength, 8_000_000, 7_999_999
	if b := solve(t, p); b.Pockets[0].Item != 0 {
		t.Error("a micrometre is open, and nothing is cut")
	}
	it.Made = it.Required
	if b := solve(t, p); b.Pockets[0].Item != rip.None {
		t.Error("filled, and cut again")
	}
}

// A board shorter than an item's least length yields none of it.
func TestShortBoard(t *testing.T) {
	p := &rip.Problem{Saw: gang(50 * mm), Board: straightBoard(999*mm, 60*mm), Items: []order.Item{fixed("a", 50*mm)}}
	p.Items[0].LeastLength = 1000 * mm
	if b := solve(t, p); b.Pockets[0].Item != rip.None {
		t.Error("a short board gave a strip")
	}
	p.Board.Length = 1000 * mm
	if b := solve(t, p); b.Pockets[0].Item != 0 {
		t.Error("a board of just the least length gave nothing")
	}
}

// Yield is strip face over board face. One strip: 50 x 2000 out of 60 x 2000 =
// 100000 / 120000 mm2 = 5/6; kerf 4 x 2000, edging 6 x 2000. Three strips from
// four bounds, the straight edge and three blades: (50 + 60 + 70) x 2000 out of
// 200 x 2000 = 180 / 200; kerf 3 x 4, edging 200 - 180 - 12 = 8.
func TestWorkedYield(t *testing.T) {
	one := &rip.Problem{Saw: gang(50 * mm), Board: straightBoard(2000*mm, 60*mm), Items: []order.Item{fixed("a", 50*mm)}}
	three := &rip.Problem{Saw: gang(50*mm, 114*mm, 188*mm), Board: straightBoard(2000*mm, 200*mm),
		Items: []order.Item{fixed("a", 50*mm), fixed("b", 60*mm), fixed("c", 70*mm)}}
	for _, c := range []struct {
		p                   *rip.Problem
		strip, kerf, edging int64 // mm across
		face                int64
	}{{one, 50, 4, 6, 60}, {three, 180, 12, 8, 200}} {
		a := solve(t, c.p).Account
		across := func(v int64) unit.Area { return unit.Area(v * int64(mm) * 2_000_000) }
		if a.Strip != across(c.strip) || a.Kerf != across(c.kerf) || a.Edging != across(c.edging) || a.Face != across(c.face) ||
			a.EndTrim != 0 || a.Offcut != 0 || a.Yield() != float64(c.strip)/float64(c.face) {
			t.Errorf("account %+v", a)
		}
	}
}
