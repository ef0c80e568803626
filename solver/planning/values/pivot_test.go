package values

import (
	"errors"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The pivots end where the library's do: their basis costs as much as the library's plan,
// and is mostly the same in every column. The library is the reference.
func TestPivotedIsTheLibrarys(t *testing.T) {
	moved, same := 0, 0
	for seed := range uint64(300) {
		pool, open, _, ends, start := masterOf(seed)
		p := written(pool, open, start, ends)
		least, x, err := library(p.c, p.a, p.b, p.start, nil)
		if err != nil {
			continue
		}
		columns := p.pivoted()
		cost, y, err := library(p.c, p.a, p.b, columns, nil)
		if err != nil || cost > least*(1+1e-9) || cost < least*(1-1e-9) {
			t.Errorf("seed %d: %v from pivots, %v by the library alone: %v", seed, cost, least, err)
			continue
		}
		if !slices.Equal(columns, p.start) {
			moved++
		}
		whole := true
		for _, j := range columns {
			whole = whole && x[j] > 0 && y[j] > 0
		}
		if whole {
			same++
		}
	}
	if moved < 200 || same < 290 {
		t.Errorf("of 300 pivots moved %d, and %d have the library's basis", moved, same)
	}
}

// If stopped before the first pivot, the basis is the starting one.
func TestPivotedStops(t *testing.T) {
	pool, open, _, ends, start := masterOf(7)
	p := written(pool, open, start, ends)
	p.stop = func() bool { return true }
	if got := p.pivoted(); !slices.Equal(got, p.start) {
		t.Errorf("%v, begun at %v", got, p.start)
	}
}

// The library is left once it has read so much that it cannot be about to end.
func TestTheLibraryIsLeft(t *testing.T) {
	a := mat.NewDense(3, 5, nil)
	w := watch(a, nil)
	defer func() {
		if err, _ := recover().(error); !errors.Is(err, errCycles) {
			t.Error(err)
		}
	}()
	for range mostReads + 1 {
		for j := range 5 {
			mat.Col(nil, j, w)
		}
	}
	t.Error("it may read on")
}
