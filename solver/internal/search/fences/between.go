package fences

import (
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
)

// between is the pockets between fixed blades.
type between struct {
	p           *costtogo.Profile
	first, last int // outermost fixed blades; 0 and -1 where all move
	pockets     []*costtogo.Pocket
	clear       []use // what they bring where all are clear, for the states at hand
}

// use is one way to use the pockets between fixed blades: the wants in them, their
// score, their worth in coarse units, and the state of the caps that is left.
type use struct {
	score model.Score
	up    int64
	state int
	wants []int
}

func newBetween(p *costtogo.Profile, first, last int) *between {
	b := &between{p: p, first: first, last: last}
	for j := first; j < last; j++ {
		b.pockets = append(b.pockets, costtogo.NewPocket(p, j))
	}
	return b
}

// most bounds what the pockets bring at a fence.
func (b *between) most(f int64) (sum int64) {
	for _, c := range b.pockets {
		sum += c.Most(f)
	}
	return sum
}

// uses gives for each state that can be left the best use of the pockets at a fence:
// of those with one score that whose wants come first.
func (b *between) uses(f int64, t *resource.States) []use {
	all := true
	for _, c := range b.pockets {
		all = all && c.Clear(f)
	}
	if all && b.clear != nil {
		return b.clear
	}
	l := []use{{state: t.Count - 1}}
	for _, c := range b.pockets {
		l = b.extend(l, c, f, t)
	}
	if all {
		b.clear = l
	}
	return l
}

// standing is how many of the fixed blades stand in the wood at a fence.
func (b *between) standing(f int64) (n int64) {
	for j := b.first; j <= b.last; j++ {
		if b.p.M.InWood(b.p.M.Blades[j].Lo - f) {
			n++
		}
	}
	return n
}

func (b *between) extend(l []use, c *costtogo.Pocket, f int64, t *resource.States) []use {
	var out []use
	offer := func(u *use, state, want int, sc model.Score) {
		n := use{score: u.score.Plus(sc), up: u.up + b.p.Up(sc.Worth), state: state}
		for k := range out {
			o := &out[k]
			if o.state != state {
				continue
			}
			d := n.score.Cmp(&o.score)
			if d < 0 {
				return
			}
			n.wants = append(append(n.wants, u.wants...), want)
			if d > 0 || model.CompareWants(n.wants, o.wants) < 0 {
				*o = n
			}
			return
		}
		n.wants = append(append(n.wants, u.wants...), want)
		out = append(out, n)
	}
	for k := range l {
		u := &l[k]
		c.Strips(f, func(w *model.Want, width, n int64, sc model.Score) {
			if state, ok := t.After(u.state, w, width, n); ok {
				offer(u, state, w.Index, sc)
			}
		})
		offer(u, u.state, model.None, model.Score{})
	}
	return out
}
