package main

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// instance is a cutting-stock problem: boards of one width and pieces of several, each as
// long as a board.
type instance struct {
	class  string
	stock  int
	widths []int // distinct, in descending order
	pieces []int // of each
	// known is the optimum by construction; 0: not known.
	known int
}

// mostStrips is the most strips of a board: a saw has 32 blades.
const mostStrips = 31

// recipe draws the width of the stock and of each piece.
type recipe struct {
	class string
	draw  func(r *rand.Rand) (name string, stock int, pieces []int, known int)
}

// recipes are the published classes. Sources: Falkenauer, Journal of Heuristics 2 (1996),
// uniform (second-hand) and triplets (150 and 20 to 100, second-hand; how triplets are
// drawn, from memory); Scholl, Klein and Juergens, Computers & Operations Research 24
// (1997); Schwerin and Waescher, International Transactions in Operational Research 4
// (1997); Waescher and Gau, OR Spektrum 18 (1996), by the generator of Gau and Waescher,
// European Journal of Operational Research 84 (1995); the last four from memory.
var recipes = []recipe{
	{"Falkenauer U", func(r *rand.Rand) (string, int, []int, int) {
		n := pick(r, 120, 250, 500, 1000)
		return fmt.Sprint(n), 150, uniform(r, n, 20, 100), 0
	}},
	{"Falkenauer T", func(r *rand.Rand) (string, int, []int, int) {
		n := pick(r, 60, 120, 249, 501)
		return fmt.Sprint(n), 1000, triplets(r, n/3), n / 3
	}},
	{"Scholl 1", func(r *rand.Rand) (string, int, []int, int) {
		stock, n, least := pick(r, 100, 120, 150), pick(r, 50, 100, 200, 500), pick(r, 1, 20, 30)
		return fmt.Sprintf("%d %d-100", n, least), stock, uniform(r, n, least, 100), 0
	}},
	{"Scholl 2", func(r *rand.Rand) (string, int, []int, int) {
		const stock = 1000
		n, strips, spread := pick(r, 50, 100, 200, 500), pick(r, 3, 5, 7, 9), pick(r, 20, 50, 90)
		mean := stock / strips
		return fmt.Sprintf("%d 1/%d %d %%", n, strips, spread), stock, uniform(r, n, mean*(100-spread)/100, mean*(100+spread)/100), 0
	}},
	{"Scholl 3", func(r *rand.Rand) (string, int, []int, int) {
		return "200", 100_000, uniform(r, 200, 20_000, 35_000), 0
	}},
	{"Schwerin", func(r *rand.Rand) (string, int, []int, int) {
		n := pick(r, 100, 120)
		return fmt.Sprint(n), 1000, uniform(r, n, 150, 200), 0
	}},
	{"Waescher", func(r *rand.Rand) (string, int, []int, int) {
		const stock = 10_000
		widths, part, mean := pick(r, 10, 20, 30, 40, 50), pick(r, 4, 2, 1), pick(r, 10, 50)
		if r.IntN(4) == 0 {
			return fmt.Sprintf("%d 3/4 %d", widths, mean), stock, demanded(r, uniform(r, widths, 1, stock*3/4), mean), 0
		}
		return fmt.Sprintf("%d 1/%d %d", widths, part, mean), stock, demanded(r, uniform(r, widths, 1, stock/part), mean), 0
	}},
}

func pick(r *rand.Rand, of ...int) int { return of[r.IntN(len(of))] }

func uniform(r *rand.Rand, n, least, most int) (pieces []int) {
	for range n {
		pieces = append(pieces, least+r.IntN(most-least+1))
	}
	return pieces
}

// triplets are three pieces that fill a board: the first of 380 to 490, the second of 250
// up to half of what is left, the third the rest.
func triplets(r *rand.Rand, boards int) (pieces []int) {
	for range boards {
		first := 380 + r.IntN(111)
		second := 250 + r.IntN((1000-first)/2-250+1)
		pieces = append(pieces, first, second, 1000-first-second)
	}
	return pieces
}

// demanded shares out an average of mean pieces per width at random, at least one each.
func demanded(r *rand.Rand, widths []int, mean int) (pieces []int) {
	shares, sum := make([]float64, len(widths)), 0.0
	for i := range shares {
		shares[i] = r.Float64()
		sum += shares[i]
	}
	for i, w := range widths {
		for range max(int(shares[i]/sum*float64(mean*len(widths))+0.5), 1) {
			pieces = append(pieces, w)
		}
	}
	return pieces
}

// drawn gives an instance from a seed, drawn again while more strips fit a board than a
// saw can cut.
func drawn(seed uint64) *instance {
	recipe := &recipes[seed%uint64(len(recipes))]
	r := rand.New(rand.NewPCG(seed, 31)) // repeatable on purpose
	for {
		name, stock, pieces, known := recipe.draw(r)
		slices.SortFunc(pieces, func(a, b int) int { return b - a })
		in := &instance{class: recipe.class + " " + name, stock: stock, known: known}
		for i, w := range pieces {
			if i == 0 || w != pieces[i-1] {
				in.widths, in.pieces = append(in.widths, w), append(in.pieces, 0)
			}
			in.pieces[len(in.pieces)-1]++
		}
		if in.strips() <= mostStrips {
			return in
		}
	}
}

// strips is the most strips that fit a board: of the narrowest width.
func (in *instance) strips() (n int) {
	room := in.stock
	for i := len(in.widths) - 1; i >= 0; i-- {
		fit := min(in.pieces[i], room/in.widths[i])
		n, room = n+fit, room-fit*in.widths[i]
	}
	return n
}
