package broad_test

import (
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/bench/broad"
	"github.com/ripwright/ripwright/testdata/brief"
)

// The service accepts every case, the same draw gives the same case, and every value of
// every feature is drawn.
func TestDraw(t *testing.T) {
	number := brief.Fewer(40)
	seen := map[string]int{}
	for _, a := range broad.Arbors(1) {
		for n := range number {
			c := broad.Draw(1, a, n, nil)
			if l := c.Problem.Faults(); len(l) > 0 {
				t.Fatalf("%s: %v", c.Name(), l)
			}
			if n < 3 && !reflect.DeepEqual(c, broad.Draw(1, a, n, nil)) {
				t.Errorf("%s differs between two draws", c.Name())
			}
			if n < 3 && reflect.DeepEqual(c.Problem, broad.Draw(2, a, n, nil).Problem) {
				t.Errorf("%s is that of another seed", c.Name())
			}
			for _, ch := range broad.Choices {
				seen[ch.Name+" "+ch.Of(&c.Features)]++
			}
		}
	}
	for _, ch := range broad.Choices {
		for _, v := range ch.Values {
			if seen[ch.Name+" "+v] == 0 {
				t.Errorf("%s %s was never drawn", ch.Name, v)
			}
		}
	}
}

// A filter leaves cases out and changes none.
func TestFilter(t *testing.T) {
	a := broad.Arbors(1)[0]
	some := 0
	for n := range 60 {
		all := broad.Draw(1, a, n, nil)
		c := broad.Draw(1, a, n, func(f *broad.Features) bool { return f.Edges == "rough" })
		if (c != nil) != (all.Edges == "rough") {
			t.Fatalf("%s: edges %s, drawn %t", all.Name(), all.Edges, c != nil)
		}
		if c != nil {
			some++
			if !reflect.DeepEqual(c, all) {
				t.Errorf("%s is changed by the filter", c.Name())
			}
		}
	}
	if some == 0 {
		t.Error("the filter leaves nothing")
	}
}
