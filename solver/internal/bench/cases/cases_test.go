package cases

import (
	"reflect"
	"testing"

	"github.com/ripwright/ripwright/solver/rip"
)

// The service accepts every board, the same seed gives the same board, and different
// seeds give different ones.
func TestProblems(t *testing.T) {
	for _, c := range Targets() {
		for seed := range uint64(20) {
			p := c.Problem(seed)
			if l := p.Faults(); len(l) > 0 {
				t.Fatalf("%s, seed %d: %v", c.Name, seed, l)
			}
			if !reflect.DeepEqual(p, c.Problem(seed)) {
				t.Errorf("%s, seed %d: differs between two draws", c.Name, seed)
			}
			if reflect.DeepEqual(p.Board, c.Problem(seed+1).Board) {
				t.Errorf("%s: seeds %d and %d give the same board", c.Name, seed, seed+1)
			}
		}
	}
}

// BenchmarkSolve solves a case's boards one after the other, so that in a multiple of 50
// iterations all boards are equally frequent.
func BenchmarkSolve(b *testing.B) {
	const boards = 50
	for _, c := range Targets() {
		b.Run(c.Blades+"/"+c.Name, func(b *testing.B) {
			var all []*rip.Problem
			for seed := range uint64(boards) {
				all = append(all, c.Problem(seed))
			}
			solve := func(i int) {
				if _, err := rip.Solve(all[i%boards], rip.Options{}); err != nil {
					b.Fatal(err)
				}
			}
			for i := range boards {
				solve(i) // the first time fills caches and the search's memory
			}
			b.ReportAllocs()
			start, i := Busy(), 0
			for ; b.Loop(); i++ {
				solve(i)
			}
			b.ReportMetric(float64(Busy()-start)/float64(i), "cpu-ns/op")
		})
	}
}
