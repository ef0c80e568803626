package bays

import (
	"encoding/json"
	"math/big"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
)

// want is a stack of that name with an open area; 0: it is full.
func want(name string, open int64) Want {
	return Want{Stack: Stack{Name: name}, Full: open == 0, Open: big.NewInt(open)}
}

func names(b *Bays) string {
	var all []string
	for i := range b.In {
		all = append(all, b.In[i].Stack.Name)
	}
	return strings.Join(all, " ")
}

// The contents of two bays, worked by hand from the rules: most open first, kept until
// filled, kept beyond that while no stack waits, given up after boards that yield nothing
// for it, and to forced stacks.
func TestChoose(t *testing.T) {
	b := New(2)
	step := func(what, in, moved string, wants ...Want) {
		t.Helper()
		next, changes, short := b.Choose(wants, unit.Worth{})
		var from []string
		for _, c := range changes {
			from = append(from, c.From.Name+">"+next.In[c.Bay].Stack.Name)
		}
		if names(next) != in || strings.Join(from, " ") != moved || len(short) > 0 {
			t.Errorf("%s: %q, changes %q, short %v; want %q and %q", what, names(next), from, short, in, moved)
		}
		b = next
	}
	endless := Want{Stack: Stack{Name: "e"}, Endless: true, Open: new(big.Int)}
	forced := want("c", 3)
	forced.Forced = true
	step("an empty outfeed", "b a", ">b >a", want("a", 5), want("b", 9), want("c", 4))
	step("less open than what waits", "b a", "", want("a", 5), want("b", 1), want("c", 4))
	step("one is filled", "c a", "b>c", want("a", 5), want("b", 0), want("c", 4))
	step("that board was not cut after all", "c a", "", want("a", 5), want("b", 1), want("c", 4))
	step("all but two are filled", "c b", "a>b", want("a", 0), want("b", 1), want("c", 4))
	step("nobody waits", "c b", "", want("a", 0), want("b", 0), want("c", 4))
	step("another order", "e f", "c>e b>f", endless, want("f", 7))
	for range Patience {
		b.Cut(func(s Stack) bool { return s.Name == "e" })
	}
	step("boards do not give it", "e c", "f>c", endless, want("f", 7), want("c", 3))
	step("filled; one that boards did not give waits behind others", "e d", "c>d", endless, want("f", 7), want("c", 0), want("d", 1))
	step("forced: the least open gives way", "e c", "d>c", endless, want("f", 7), forced, want("d", 1))
	both := []Want{endless, want("f", 7), forced, want("d", 1)}
	both[1].Forced, both[3].Forced = true, true
	if _, _, short := b.Choose(both, unit.Worth{}); !slices.Equal(short, []int{3}) && !slices.Equal(short, []int{1}) {
		t.Errorf("three stacks are forced into two bays, and %v are too many", short)
	}
}

// A planned sequence comes before the open area, and after stacks for which boards
// yielded nothing.
func TestChooseTurn(t *testing.T) {
	turned := func(name string, open int64, turn int) Want {
		w := want(name, open)
		w.Turn = turn
		return w
	}
	wants := []Want{turned("a", 9, 4), turned("b", 8, 2), turned("c", 7, 1), turned("d", 6, 4)}
	b, _, _ := New(2).Choose(wants, unit.Worth{})
	if names(b) != "c b" {
		t.Errorf("bays have %s", names(b))
	}
	wants[2] = turned("c", 0, 1)
	if b, _, _ = b.Choose(wants, unit.Worth{}); names(b) != "a b" {
		t.Errorf("bays have %s", names(b))
	}
	for range Patience {
		b.Cut(func(s Stack) bool { return s.Name == "a" })
	}
	if b, _, _ = b.Choose(wants, unit.Worth{}); names(b) != "a d" {
		t.Errorf("bays have %s", names(b))
	}
	wants[3] = turned("d", 0, 4)
	wants = append(wants, turned("e", 1, 3))
	if b, _, _ = b.Choose(wants, unit.Worth{}); names(b) != "a e" {
		t.Errorf("bays have %s", names(b))
	}
}

// What the next order wants gets bays that the order in force no longer needs, and gives
// them back as soon as that order wants one; it takes no other bay.
func TestChooseLater(t *testing.T) {
	later := func(name string, open int64) Want {
		w := want(name, open)
		w.Later = true
		return w
	}
	b := New(3)
	for _, c := range []struct {
		in    string
		wants []Want
	}{
		{"a b n", []Want{want("a", 5), want("b", 2), later("n", 90), later("m", 80)}},
		{"a m n", []Want{want("a", 5), want("b", 0), later("n", 90), later("m", 80)}}, // b is filled
		{"a b n", []Want{want("a", 5), want("b", 1), later("n", 90), later("m", 80)}}, // and was not cut after all
		{"m b n", []Want{want("a", 0), want("b", 1), later("n", 90), later("m", 80)}},
		{"m b n", []Want{want("n", 90), want("m", 80)}}, // the next one is in force
		{"m o n", []Want{want("n", 90), want("m", 80), want("o", 1)}},
	} {
		b, _, _ = b.Choose(c.wants, unit.Worth{})
		if names(b) != c.in {
			t.Errorf("%+v: %s, want %s", c.wants, names(b), c.in)
		}
	}
	for range Patience {
		b.Cut(func(s Stack) bool { return s.Name == "m" })
	}
	b.Lose(Stack{Name: "x"}, unit.Worth{Hi: 1})
	if b, _, _ = b.Choose([]Want{want("n", 90), want("m", 80), want("o", 1), later("x", 99)}, unit.Worth{Lo: 1}); names(b) != "m o n" {
		t.Errorf("what the next order wants makes %s of m o n", names(b))
	}
	// A stack of both orders counts for the next one only once it is full for the first.
	items := []order.Item{{ID: "a"}, {ID: "b", Required: 9}, {ID: "c", Required: 9}, {ID: "d", Required: 9}}
	for i := range items {
		items[i].Measure = order.ByPieces
	}
	w := Wants(items, []Stack{{Name: "1"}, {Name: "2"}, {Name: "1"}, {Name: "2"}}, 2, nil, 2500*unit.Millimetre)
	if len(w) != 2 || !w[0].Later || w[0].Full || w[1].Later || w[1].Full {
		t.Errorf("%+v", w)
	}
}

// A stack loses its bay once the loss for want of another equals the cost of a change and
// a change back.
func TestLost(t *testing.T) {
	cost := unit.Worth{Lo: 10}
	wants := []Want{want("a", 100), want("b", 90), want("c", 50)}
	b, _, _ := New(2).Choose(wants, cost)
	lose := func(name string, lost uint64, in string) {
		t.Helper()
		b.Lose(Stack{Name: name}, unit.Worth{Lo: lost})
		next, _, _ := b.Choose(wants, cost)
		if b = next; names(b) != in {
			t.Errorf("%d lost for want of %s: %s, want %s", lost, name, names(b), in)
		}
	}
	lose("c", 19, "a b")
	lose("c", 1, "a c")
	lose("b", 19, "a c")
	free, _, _ := b.Choose(wants, unit.Worth{})
	free.Lose(Stack{Name: "b"}, unit.Worth{Lo: 1000})
	if next, changes, _ := free.Choose(wants, unit.Worth{}); len(changes) > 0 {
		t.Errorf("without a price %s", names(next))
	}
}

// course draws how an order is filled, board by board, and checks every choice against
// the rules, stated independently from the state before and after.
type course struct {
	*testing.T
	r     *rand.Rand
	b     *Bays
	wants []Want
	cost  unit.Worth
	lost  uint64 // in all
	early uint64 // cost of the changes made because of losses, there and back

	filled, unused, forced, traded, kept int
}

func (c *course) step() {
	for i := range c.wants {
		w := &c.wants[i]
		if k := c.b.Find(w.Stack); k >= 0 && !w.Endless { // made, or a board was not cut
			w.Open = big.NewInt(max(w.Open.Int64()+int64(c.r.IntN(40)-30), 0))
			w.Full = w.Open.Sign() == 0
		}
		w.Forced = c.r.IntN(60) == 0
	}
	before := *c.b
	next, changes, short := c.b.Choose(c.wants, c.cost)
	if text, again, _ := c.b.Choose(c.wants, c.cost); !reflect.DeepEqual(text, next) || !reflect.DeepEqual(again, changes) {
		c.Fatal("two choices differ")
	}
	if l := next.Faults(len(c.b.In)); len(l) > 0 {
		c.Fatal(l.Err())
	}
	at := map[Stack]*Want{}
	forcedStacks := 0
	for i := range c.wants {
		at[c.wants[i].Stack] = &c.wants[i]
		if c.wants[i].Forced {
			forcedStacks++
		}
	}
	if (len(short) > 0) != (forcedStacks > len(next.In)) {
		c.Fatalf("%d stacks are forced into %d bays, and %v are too many", forcedStacks, len(next.In), short)
	}
	if len(short) > 0 {
		return
	}
	needs := func(s Stack) bool { w := at[s]; return w != nil && (!w.Full || w.Forced) }
	lost := func(s Stack) uint64 {
		for _, w := range before.Waits {
			if w.Stack == s {
				return w.Lost.Lo
			}
		}
		return 0
	}
	anyForced := false
	for i := range c.wants {
		w := &c.wants[i]
		in := next.Find(w.Stack) >= 0
		anyForced = anyForced || w.Forced && before.Find(w.Stack) < 0
		if w.Forced && !in {
			c.Fatalf("%v is forced and has no bay", w.Stack)
		}
		for k := range next.In {
			if needs(w.Stack) && !in && !needs(next.In[k].Stack) {
				c.Fatalf("%v waits while %v lies in a bay", w.Stack, next.In[k].Stack)
			}
		}
	}
	for _, ch := range changes {
		came := at[next.In[ch.Bay].Stack]
		if came == nil || before.Find(came.Stack) >= 0 || before.In[ch.Bay].Stack != ch.From {
			c.Fatalf("%v came for %v", came, ch)
		}
		switch {
		case !needs(ch.From):
			c.filled++
		case came.Forced || anyForced && next.Find(ch.From) < 0 && before.In[ch.Bay].Unused < Patience && lost(came.Stack) < 2*c.cost.Lo:
			c.forced++
		case before.In[ch.Bay].Unused >= Patience:
			c.unused++
		case c.cost.Lo > 0 && lost(came.Stack) >= 2*c.cost.Lo:
			c.early += 2 * c.cost.Lo
			c.traded++
		default:
			c.Fatalf("%v gave way to %v for no known reason", ch.From, came.Stack)
		}
	}
	if len(changes) == 0 {
		c.kept++
	}
	c.b = next
	next.Cut(func(s Stack) bool { return s.Name != "never" && c.r.IntN(3) > 0 })
	for i := range c.wants {
		if w := &c.wants[i]; next.Find(w.Stack) < 0 && !w.Full && c.r.IntN(3) == 0 {
			n := uint64(c.r.IntN(8))
			next.Lose(w.Stack, unit.Worth{Lo: n})
			c.lost += n
		}
	}
	if c.r.IntN(5) == 0 { // it continues on another machine
		text, err := json.Marshal(next)
		if err != nil {
			c.Fatal(err)
		}
		c.b = &Bays{}
		if err := json.Unmarshal(text, c.b); err != nil || len(c.b.Faults(len(next.In))) > 0 {
			c.Fatal(err, string(text))
		}
	}
}

// In any course, no more stacks have bays than there are bays, no stack waits for a bay
// that is not needed, no stack loses its bay without a reason by the rules, and the
// changes made because of losses cost no more than the losses.
func TestCourse(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	var all course
	for range 80 {
		c := course{T: t, r: r, b: New(1 + r.IntN(5)), cost: unit.Worth{Lo: uint64(r.IntN(3) * 20)}}
		for i := range 1 + r.IntN(12) {
			w := want(string(rune('a'+i)), int64(r.IntN(600)))
			w.Endless = r.IntN(8) == 0
			w.Full = w.Full && !w.Endless
			c.wants = append(c.wants, w)
		}
		c.wants = append(c.wants, want("never", 1000))
		for range 150 {
			c.step()
		}
		if c.early > c.lost {
			t.Fatalf("changes for %d lost cost %d", c.lost, c.early)
		}
		all.filled, all.unused, all.forced, all.traded, all.kept = all.filled+c.filled, all.unused+c.unused, all.forced+c.forced, all.traded+c.traded, all.kept+c.kept
	}
	t.Logf("filled %d, unused %d, forced %d, traded %d, kept %d", all.filled, all.unused, all.forced, all.traded, all.kept)
	if all.filled < 200 || all.unused < 30 || all.forced < 200 || all.traded < 100 || all.kept < 1000 {
		t.Error("too few cases of some kinds")
	}
}

// Open areas, in square metres, each by hand on a board of 2.5 m; and the stacks of an
// order.
func TestWants(t *testing.T) {
	const mm, m = unit.Millimetre, int64(1_000_000)
	item := func(id string, b order.Basis, c order.Measure, required int64) order.Item {
		return order.Item{ID: id, Min: 50 * mm, Max: 50 * mm, Value: 2_000_000, Basis: b, Measure: c, Required: required}
	}
	wide := item("wide", order.PerArea, order.ByArea, 3*m*m)
	wide.Random, wide.Max = true, 150*mm
	joined := wide
	joined.Joint = 4 * mm
	pieces := item("pieces", order.PerLength, order.ByPieces, 8)
	pieces.PieceLength = 500 * mm
	cut := item("cut", order.PerArea, order.Unlimited, 0)
	cut.Cuts = []order.Cut{{Length: 400 * mm, Value: 2_000_000, Limited: true, Required: 9, Made: 4}, {Length: 300 * mm, Value: 9_000_000, Limited: true}}
	for _, c := range []struct {
		it   order.Item
		open float64
	}{
		{item("by length", order.PerArea, order.ByLength, 10*m), 10 * 0.05},
		{item("whatever it is paid by", order.PerPiece, order.ByLength, 10*m), 10 * 0.05},
		{item("strips", order.PerPiece, order.ByPieces, 11), 11 * 2.5 * 0.05},
		{wide, 3},
		{joined, 3. * 100 / 96},
		{pieces, 8 * 0.5 * 0.05},
		{cut, 5 * 0.4 * 0.05},
	} {
		w := Wants([]order.Item{c.it}, []Stack{Of("o", c.it.ID, "")}, 1, nil, 2500*mm)
		got, _ := new(big.Float).SetInt(w[0].Open).Float64()
		if got /= float64(unit.SquareMetre); len(w) != 1 || w[0].Full || w[0].Endless || got < c.open*(1-1e-9) || got > c.open*(1+1e-9) || w[0].Stack != (Stack{Order: "o", Item: c.it.ID}) {
			t.Errorf("%s: %+v, %g open, want %g", c.it.ID, w, got, c.open)
		}
	}
	full := item("full", order.PerArea, order.ByLength, 0)
	all := Wants([]order.Item{full, cut, item("free", order.PerArea, order.Unlimited, 0), item("last", order.PerLength, order.ByLength, 10*m)},
		[]Stack{{Name: "1"}, {Name: "2"}, {Name: "1"}, {Name: "2"}}, 4, []int{3}, 2500*mm)
	if len(all) != 2 || all[0].Full || !all[0].Endless || all[0].Forced || all[1].Endless || !all[1].Forced {
		t.Errorf("%+v", all)
	}
	if got, _ := new(big.Float).SetInt(all[1].Open).Float64(); got != 0.6e15 {
		t.Errorf("%g open of a stack with two items", got)
	}
	// At the limits, nothing overflows.
	big := order.Item{ID: "x", Min: order.MaxWidth, Max: order.MaxWidth, Value: 1e12, Measure: order.ByLength, Required: order.MaxAmount}
	if w := Wants([]order.Item{big}, []Stack{Of("o", "big", "")}, 1, nil, order.MaxLength); w[0].Open.BitLen() < 64 {
		t.Errorf("%v", w)
	}
}
