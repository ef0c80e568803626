package requests

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"slices"
)

// Genes determine a request: the same genes make the same request, and genes that differ
// in a few make a similar one.
type Genes struct {
	v  []float64 // 0 to 1
	at int
}

const length = 60

// Fresh draws all genes.
func Fresh(r *rand.Rand) *Genes {
	g := &Genes{v: make([]float64, length)}
	for i := range g.v {
		g.v[i] = r.Float64()
	}
	return g
}

// Near changes a few of them.
func (g *Genes) Near(r *rand.Rand) *Genes {
	n := &Genes{v: slices.Clone(g.v)}
	for range 1 + r.IntN(6) {
		n.v[r.IntN(length)] = r.Float64()
	}
	return n
}

// name is unique to the genes.
func (g *Genes) name() string {
	h := fnv.New64a()
	_, _ = fmt.Fprint(h, g.v) // it never fails
	return fmt.Sprintf("%x", h.Sum64())
}

func (g *Genes) next() float64 {
	g.at++
	return g.v[(g.at-1)%length]
}

// between draws a number; limits are tested at their ends, so a quarter of the draws are
// the upper end.
func (g *Genes) between(lo, hi float64) float64 {
	if p := g.next(); p < 0.75 {
		return lo + (hi-lo)*p/0.75
	}
	return hi
}

// Count draws a whole number likewise.
func (g *Genes) Count(lo, hi int) int { return int(g.between(float64(lo), float64(hi)+0.999)) }

// one draws one of the values given.
func (g *Genes) one(of ...float64) float64 { return of[min(int(g.next()*float64(len(of))), len(of)-1)] }

// Chance draws whether something of that probability is so.
func (g *Genes) Chance(p float64) bool { return g.next() < p }

// Stream gives random numbers for repeated things: edges, defects, items.
func (g *Genes) Stream() *rand.Rand { return rand.New(rand.NewPCG(uint64(g.next()*1e9), 17)) }

// grid rounds a length in mm to a step, as scanners and people do.
func grid(v, step float64) float64 { return float64(int64(v/step+0.5)) * step }
