// Command lumber writes the demo's pack of boards, which is all invented.
package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
)

type station struct {
	X    float64 `json:"x_mm"`
	Near float64 `json:"near_mm"`
	Far  float64 `json:"far_mm"`
}

type board struct {
	ID        string    `json:"board_id"`
	Pack      string    `json:"pack_id"`
	Length    float64   `json:"length_mm"`
	Thickness float64   `json:"thickness_mm"`
	Stations  []station `json:"stations"`
}

func main() {
	const seed, boards = 20, 200
	r := rand.New(rand.NewPCG(seed, seed))
	out := json.NewEncoder(os.Stdout)
	for i := range boards {
		if err := out.Encode(one(r, fmt.Sprintf("AC-%03d", i+1))); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

// one board: random width and length, taper, a bow along the edge, rough edges and
// occasional bites of wane.
func one(r *rand.Rand, id string) board {
	length := 1830 + math.Round(r.Float64()*2440)
	width := 110 + 190*math.Pow(r.Float64(), 1.3)
	taper := r.Float64() * 12
	crook := math.Abs(r.NormFloat64()) * 4
	n := 8 + r.IntN(17)
	bite := -1.0
	if r.Float64() < 0.25 {
		bite = r.Float64()
	}
	b := board{ID: id, Pack: "alder-17", Length: length, Thickness: 28.6}
	least := math.Inf(1)
	for k := range n {
		t := float64(k) / float64(n-1)
		bow := crook * 4 * t * (1 - t)
		near := bow + r.Float64()*1.2
		far := bow + width - taper*t - r.Float64()*1.2
		if bite >= 0 {
			far -= 18 * math.Max(0, 1-math.Abs(t-bite)*5)
		}
		least = math.Min(least, near)
		b.Stations = append(b.Stations, station{math.Round(t * length), near, far})
	}
	for k := range b.Stations { // pushed against the fence
		s := &b.Stations[k]
		s.Near, s.Far = round(s.Near-least), round(s.Far-least)
	}
	return b
}

func round(v float64) float64 { return math.Round(v*10) / 10 }
