package replan

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/testdata/brief"
)

// New values count by the number of boards since the last ones; values are not averaged
// for what was filled meanwhile, for what another order, saw or due changes, and if the
// old ones are older than a hundred boards.
func TestAveraged(t *testing.T) {
	before := func() *Course {
		return &Course{Planned: 3, Force: &Set{Number: 3, Seen: 50, PerFace: 2, Items: []Value{
			{Item: "a", Value: 10, Basis: order.PerLength}, {Item: "gone", Value: 9},
			{Item: "cut", Cuts: []CutValue{{Length: 700 * mm, Value: 60}, {Length: 900 * mm, Value: 80}}}, {Item: "full", Value: 0}, {Item: "other", Value: 5, Basis: order.PerArea}}}}
	}
	after := func(seen int64) *Set {
		return &Set{Seen: seen, PerFace: 4, Items: []Value{{Item: "a", Value: 32, Basis: order.PerLength},
			{Item: "cut", Cuts: []CutValue{{Length: 900 * mm, Value: 200}, {Length: 700 * mm, Value: 0}, {Length: 500 * mm, Value: 7}}},
			{Item: "full", Value: 3}, {Item: "other", Value: 40, Basis: order.PerLength}, {Item: "new", Value: 6}}}
	}
	as := func(s *Set) [7]int64 {
		return [7]int64{s.Items[0].Value, s.Items[1].Cuts[0].Value, s.Items[1].Cuts[1].Value, s.Items[1].Cuts[2].Value,
			s.Items[2].Value, s.Items[3].Value, s.Items[4].Value}
	}
	plain := as(after(0))
	for _, c := range []struct {
		what string
		seen int64
		now  bool
		due  int64
		want [7]int64
	}{
		// The old ones at twice the worth of lumber: 20 and 160.
		{"25 boards on", 75, false, 0, [7]int64{23, 170, 0, 7, 3, 40, 6}},
		{"50 boards on", 100, false, 0, [7]int64{26, 180, 0, 7, 3, 40, 6}},
		{"100 boards on", 150, false, 0, plain},
		{"another order or saw", 75, true, 0, plain},
		{"an item is due", 75, false, 200, plain},
	} {
		run := before()
		run.Now = c.now
		run.Take(&Task{Seen: c.seen, dues: map[string]int64{"a": 0, "b": c.due}}, after(c.seen), "")
		if got := as(run.Force); got != c.want {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
	run := before()
	run.Ordered(true)
	run.Take(&Task{Seen: 75}, after(75), "")
	if got := as(run.Force); got != plain {
		t.Errorf("of another name: %v", got)
	}
}

// While the same lumber comes and the order hardly fills, the values in force change far
// less from one planning to the next than those of single plannings.
func TestSteady(t *testing.T) {
	brief.Skip(t)
	r := lumber.Random(4, 1)
	var c Course
	items := four()
	var single, force [][]float64
	for range 30 {
		for range 20 {
			b := spread.Draw(r)
			c.Sample.Add(&b)
		}
		task := c.Task(gang(), items, nil, values.Everything)
		set, err := task.Plan(values.Options{})
		if err != nil {
			t.Fatal(err)
		}
		worth := func(s *Set) (all []float64) {
			for _, v := range s.Items {
				all = append(all, float64(v.Value)/s.PerFace)
			}
			return all
		}
		single = append(single, worth(set))
		c.Take(task, set, "")
		force = append(force, worth(c.Force))
	}
	moves := func(all [][]float64) (sum float64) {
		for i := 10; i < len(all); i++ {
			for k := range all[i] {
				d := all[i][k]/all[i-1][k] - 1
				sum += d * d
			}
		}
		return math.Sqrt(sum)
	}
	if one, mean := moves(single), moves(force); one < 0.01 || mean > one/2 {
		t.Errorf("single plannings move by %g, values in force by %g", one, mean)
	}
}
