package orders

import (
	"slices"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/testdata/brief"
)

// Three lines fill an order together, one of them killed: all of it is made, they end
// together, and no item overruns by more than a strip per line.
func TestLines(t *testing.T) {
	brief.Skip(t)
	line, plans := serveBoth(t)
	var text sink
	c := Lines{Client: line, Plans: plans, Orders: 1, Boards: 40, Every: 10, Within: 15, Apart: 5}
	if holds, err := RunLines(t.Context(), c, &text); err != nil || !holds {
		t.Errorf("%v\n%s", err, text)
	}
	c.Within = 0.001 // no order of so few boards comes that near
	if holds, err := RunLines(t.Context(), c, &text); err != nil || holds {
		t.Errorf("an order over its limit passes: %v\n%s", err, text)
	}
}

type sink []byte

func (s *sink) Write(b []byte) (int, error) { *s = append(*s, b...); return len(b), nil }

// How far lines end apart and by how much items overrun is measured as defined.
func TestMeasured(t *testing.T) {
	metres := func(m float64) []*ripwrightv1.Fill {
		return []*ripwrightv1.Fill{{Made: &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_LengthM{LengthM: m}}}}
	}
	s := shared{items: []order.Item{{Required: 10_000_000}}, strip: 3_000_000, lines: []*member{
		{pace: 10, at: 2, fills: metres(7)}, {pace: 4, at: 1, fills: metres(6)}, {at: 0.5, fills: metres(0)}}}
	var got ended
	if s.measure(&got); got.apart != 4 || got.over != 1.0/3 {
		t.Errorf("%g boards apart, overrun of %g strips per line, want 4 and 1/3", got.apart, got.over)
	}
	if s.open() {
		t.Error("a filled order is open")
	}
	s.lines = slices.Delete(s.lines, 1, 2)
	if !s.open() {
		t.Error("an order that lacks 3 m is filled")
	}
}
