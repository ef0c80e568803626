package main

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// Instances follow their recipe: triplets fill their boards, and no board has more strips
// than a saw can cut.
func TestDrawn(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		three := triplets(r, 1)
		if three[0]+three[1]+three[2] != 1000 || three[0] < 380 || three[0] > 490 || three[1] < 250 || three[2] < three[1] {
			t.Fatal(three)
		}
	}
	for seed := range uint64(200) {
		in := drawn(seed)
		if in.strips() > mostStrips || in.strips() < 1 || len(in.problem().Faults()) > 0 || slices.Min(in.pieces) < 1 || slices.Max(in.widths) > in.stock {
			t.Errorf("seed %d: %+v", seed, in)
		}
		if again := drawn(seed); !slices.Equal(in.widths, again.widths) || !slices.Equal(in.pieces, again.pieces) {
			t.Errorf("seed %d: drawn differently the second time", seed)
		}
	}
}

// Worked by hand: four pieces of 60 on boards of 100 take four boards by their values and
// three by their area; at half a board each they are worth two.
func TestLeast(t *testing.T) {
	in := &instance{stock: 100, widths: []int{60}, pieces: []int{4}}
	if got := in.least([]float64{1}); got != 4 {
		t.Error(got)
	}
	if got := in.least([]float64{0}); got != 3 {
		t.Error(got)
	}
	in = &instance{stock: 100, widths: []int{50}, pieces: []int{4}}
	if got := in.least([]float64{1}); got != 2 {
		t.Error(got)
	}
}

// Worked by hand: 60 and 40 twice, 60 and 30, and three of 30 are four boards.
func TestSolve(t *testing.T) {
	in := &instance{stock: 100, widths: []int{60, 40, 30}, pieces: []int{3, 2, 4}}
	a, err := in.solve(time.Minute)
	if err != nil || a.boards != 4 || !a.proven {
		t.Errorf("%+v %v", a, err)
	}
}
