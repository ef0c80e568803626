package replan

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

// gang is an invented saw of five fixed blades.
func gang() saw.Saw {
	s := saw.Saw{Kerf: 4 * mm, Step: mm, Gap: 20 * mm, LeastStrip: 20 * mm, Trim: 4 * mm, Fence: saw.Travel{Max: 290 * mm}}
	for _, a := range []unit.Length{120, 174, 248, 292, 386} {
		s.Blades = append(s.Blades, saw.Blade{At: a * mm})
	}
	return s
}

func metres(id string, width unit.Length, m int64) order.Item {
	return order.Item{ID: id, Min: width * mm, Max: width * mm, LeastLength: 400 * mm, Value: 10_000_000, Measure: order.ByLength, Required: m * 1_000_000}
}

func four() []order.Item {
	return []order.Item{metres("a", 40, 160), metres("b", 50, 200), metres("c", 70, 240), metres("d", 90, 280)}
}

var spread = lumber.Spread{Mean: 190 * mm, Deviation: 45 * mm, Least: 90 * mm, Greatest: 320 * mm, Crook: 5 * mm, Taper: 8 * mm,
	Lengths: []lumber.LengthShare{{Length: 1800 * mm, Share: 1}, {Length: 2400 * mm, Share: 2}}}

// cut runs an order to its end and gives the number of boards after which each item was
// filled, and which items the first planning reported late.
func cut(t *testing.T, items []order.Item, seed uint64) (filled []int, late []Late) {
	t.Helper()
	r := lumber.Random(seed, 1)
	var c Course
	for len(c.Sample.Boards) < MaxBoards {
		c.Sample.Expect([]wood.Board{spread.Draw(r)})
	}
	filled = make([]int, len(items))
	for n := 0; n < 2000; n++ {
		if c.Due(10) || n == 0 {
			task := c.Task(gang(), items, nil, values.Everything)
			if task == nil {
				return filled, late
			}
			set, err := task.Plan(values.Options{})
			if err != nil {
				t.Fatal(err)
			}
			c.Take(task, set, "")
			if n == 0 {
				late = set.Late
			}
		}
		q := rip.Problem{Board: spread.Draw(r), Saw: gang(), Items: slices.Clone(items)}
		c.Apply(q.Items)
		s, err := rip.Solve(&q, rip.Options{})
		if err != nil {
			t.Fatal(err)
		}
		c.Sample.Add(&q.Board)
		for i := range s.Best.Pockets {
			if p := &s.Best.Pockets[i]; p.Item != rip.None {
				items[p.Item].Made += int64(p.Counted)
			}
		}
		for i := range items {
			if open, _ := items[i].Open(); open == 0 && filled[i] == 0 {
				filled[i] = n + 1
			}
		}
	}
	t.Fatal("the order is never filled")
	return nil, nil
}

// What is due is filled by its due if possible, and otherwise as early as possible, which
// is reported from the start. Without dues one of the two is filled far later.
func TestDuesAreKept(t *testing.T) {
	brief.Skip(t)
	due := func(boards int) []order.Item {
		items := four()
		items[1].Due, items[2].Due = int64(boards), int64(boards)
		return items
	}
	for _, seed := range []uint64{1} {
		free, _ := cut(t, four(), seed)
		all := slices.Max(free)
		by := all * 6 / 10
		if max(free[1], free[2]) <= by {
			t.Fatalf("seed %d: items b and c are filled by %d and %d of %d without dues", seed, free[1], free[2], all)
		}
		got, late := cut(t, due(by), seed)
		if got[1] > by || got[2] > by || len(late) > 0 || slices.Max(got) > all*11/10 {
			t.Errorf("seed %d: due %d, filled %v, without a due %v, late %v", seed, by, got, free, late)
		}
		by = all / 4
		got, late = cut(t, due(by), seed)
		if len(late) != 2 || late[0].Item != "b" || late[0].Due != int64(by) || late[0].Least != late[1].Least {
			t.Fatalf("seed %d: late %v", seed, late)
		}
		if soonest := float64(late[0].Least); math.Abs(float64(max(got[1], got[2]))-soonest) > 0.05*soonest {
			t.Errorf("seed %d: due %d, filled %v, late %v", seed, by, got, late)
		}
	}
}

// A course that was written and read back plans the same values, and applies the same
// ones.
func TestCarriedOn(t *testing.T) {
	r := lumber.Random(5, 1)
	c := &Course{}
	for range 30 {
		b := spread.Draw(r)
		c.Sample.Add(&b)
	}
	items := four()
	items[2].Due = 40
	for range 2 {
		task := c.Task(gang(), items, map[string]values.Rule{"d": {Keep: true}, "a": {Times: 3}}, 500_000)
		set, err := task.Plan(values.Options{})
		if err != nil {
			t.Fatal(err)
		}
		c.Take(task, set, "")
		text, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		back := &Course{}
		if err := json.Unmarshal(text, back); err != nil || !reflect.DeepEqual(c, back) || len(back.Faults()) > 0 {
			t.Fatalf("%v: %+v came back, %v", err, back, back.Faults())
		}
		again := back.Task(gang(), items, map[string]values.Rule{"d": {Keep: true}, "a": {Times: 3}}, 500_000)
		other, err := again.Plan(values.Options{Each: func(n int, f func(int)) {
			for i := range n {
				f(n - 1 - i)
			}
		}})
		if other.Number = set.Number; err != nil || !reflect.DeepEqual(set.Items, other.Items) {
			// Planned again from the same boards: the Course contains nothing else.
			t.Errorf("%+v\nand %+v, %v", set, other, err)
		}
	}
	if c.Planned != 2 || c.Force.Number != 2 {
		t.Errorf("%+v", c)
	}
	own := four()
	c.Apply(own)
	if own[3].Value != 10_000_000 || own[0].Value == 10_000_000 || own[0].Basis != order.PerLength {
		t.Errorf("%+v", own)
	}
	c.Ordered(false)
	if c.Force == nil || !c.Due(1000) || c.Since != 30 {
		t.Error("another order of the same name")
	}
	if c.Ordered(true); c.Force != nil {
		t.Error("values of another order")
	}
}

// An item that no board of the sample makes is worth enough to be cut from the first
// board that can give it; a planning in which nothing can be made says so.
func TestRareAndNothing(t *testing.T) {
	c := &Course{}
	for range 10 {
		b := square(2000, 70)
		c.Sample.Add(&b)
	}
	items := []order.Item{metres("slim", 50, 100), metres("wide", 90, 10)}
	task := c.Task(gang(), items, nil, values.Everything)
	set, err := task.Plan(values.Options{})
	if err != nil {
		t.Fatal(err)
	}
	c.Take(task, set, "")
	q := rip.Problem{Board: square(2000, 200), Saw: gang(), Items: items}
	c.Apply(q.Items)
	s, err := rip.Solve(&q, rip.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(s.Best.Pockets, func(p rip.Pocket) bool { return p.Item == 1 }) {
		t.Errorf("%+v is cut into %+v", set, s.Best.Pockets)
	}
	if _, err := c.Task(gang(), items[1:], nil, values.Everything).Plan(values.Options{}); !errors.Is(err, ErrNothing) {
		t.Error(err)
	}
	if _, err := c.Task(gang(), items, nil, values.Everything).Plan(values.Options{Stop: func() bool { return true }}); !errors.Is(err, ErrStopped) {
		t.Error(err)
	}
	items[0].Made, items[1].Made = items[0].Required, items[1].Required
	if c.Task(gang(), items, nil, values.Everything) != nil {
		t.Error("there is nothing to plan")
	}
}

// Invalid changes are found.
func TestFaults(t *testing.T) {
	good := func() *Course {
		c := &Course{Tried: 1, Planned: 2, Force: &Set{Number: 2, Seen: 1, PerFace: 3, Items: []Value{{Item: "a", Value: 5}},
			Late: []Late{{"a", 3, 4}}}}
		b := square(1000, 100)
		c.Sample.Add(&b)
		return c
	}
	if l := good().Faults(); len(l) > 0 {
		t.Fatal(l)
	}
	for what, spoil := range map[string]func(*Course){
		"tried later":   func(c *Course) { c.Tried = 2 },
		"since later":   func(c *Course) { c.Since = 2 },
		"failed":        func(c *Course) { c.Failed = -1 },
		"expected":      func(c *Course) { c.Sample.Expected = 2 },
		"seen":          func(c *Course) { c.Sample.Seen = -1 },
		"a board":       func(c *Course) { c.Sample.Boards[0].Length = 0 },
		"number":        func(c *Course) { c.Force.Number = 3 },
		"per face":      func(c *Course) { c.Force.PerFace = math.NaN() },
		"value":         func(c *Course) { c.Force.Items[0].Value = -1 },
		"basis":         func(c *Course) { c.Force.Items[0].Basis = 9 },
		"length":        func(c *Course) { c.Force.Items[0].Cuts = []CutValue{{Length: 1, Value: saw.MaxValue + 1}} },
		"late in time":  func(c *Course) { c.Force.Late[0].Least = 2 },
		"of nothing":    func(c *Course) { c.Force.Phases = []Phase{{Mix: []Mix{{Item: "a"}}}} },
		"a long reason": func(c *Course) { c.Why = string(make([]byte, 1000)) },
	} {
		c := good()
		spoil(c)
		if len(c.Faults()) == 0 {
			t.Errorf("%s is not found", what)
		}
	}
}
