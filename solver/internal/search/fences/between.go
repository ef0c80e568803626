package fences

import (
	"slices"
	"unsafe"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/layered"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
)

// between is what lies between the outermost fixed blades.
type between struct {
	p           *costtogo.Profile
	first, last int // outermost fixed blades; 0 and -1 if all move
	parts       []part
	spans       []*span // those of the parts
	clear       []use   // the best use where all are clear, for the present states
}

// part lies between two fixed blades that are neighbours among the fixed ones: a pocket,
// or a span if others move between them.
type part struct {
	to     int // the second blade
	pocket *costtogo.Pocket
	span   *span
}

// use is one way to use what lies between: the blades after the first fixed one and the
// wants before each, their score and travel, their worth in coarse units, and the state
// of the caps that is left.
type use struct {
	score  model.Score
	travel int64
	up     int64
	state  int
	blades []int64
	wants  []int
}

func newBetween(p *costtogo.Profile, first, last int, graphs *[]*layered.Graph) *between {
	b := &between{p: p, first: first, last: last}
	n := 0
	graph := func() *layered.Graph {
		if n++; n > len(*graphs) {
			*graphs = append(*graphs, new(layered.Graph))
		}
		return (*graphs)[n-1]
	}
	for i := first; i < last; {
		j := i + 1
		for p.M.Blades[j].Moving {
			j++
		}
		x := part{to: j}
		if j == i+1 {
			x.pocket = costtogo.NewPocket(p, i)
		} else {
			x.span = &span{Span: costtogo.NewSpan(p, i, j), graph: graph()}
			x.span.halves = [2]half{{side: x.span.Half(false), graph: graph()}, {side: x.span.Half(true), graph: graph()}}
			b.spans = append(b.spans, x.span)
		}
		b.parts = append(b.parts, x)
		i = j
	}
	return b
}

// begin prepares it for other states.
func (b *between) begin(t *resource.States, left *budget.Budget) {
	b.clear = nil
	for _, c := range b.spans {
		c.begin(t, left)
	}
}

// full reports whether the memory for a span was not enough.
func (b *between) full() bool {
	return slices.ContainsFunc(b.spans, func(c *span) bool { return c.full })
}

// pocketsAlong adds the most that the pockets bring at each stop of the fence from one
// on.
func (b *between) pocketsAlong(row []int64, from int) {
	for k := range b.parts {
		if c := b.parts[k].pocket; c != nil {
			c.Along(row, from)
		}
	}
}

// inSpans bounds what the spans bring at a stop of the fence, and reports whether none is
// bounded loosely.
func (b *between) inSpans(t int) (sum int64, sharp bool) {
	sharp = true
	for _, c := range b.spans {
		v, is := c.most(t)
		sum, sharp = max(sum+v, never), sharp && is
	}
	return sum, sharp
}

// pockets is the most that the pockets bring at a stop of the fence.
func (b *between) pockets(t int) (sum int64) {
	for _, c := range b.parts {
		if c.pocket != nil {
			sum += c.pocket.Most(t)
		}
	}
	return sum
}

// sharper bounds what all parts bring at a stop of the fence, with every span computed.
func (b *between) sharper(t int) (sum int64) {
	for k := range b.parts {
		c := &b.parts[k]
		switch {
		case c.pocket != nil:
			sum += c.pocket.Most(t)
		case c.span.Clear(t):
			v, _ := c.span.most(t)
			sum = max(sum+v, never)
		default:
			sum = max(sum+c.span.sharp(t), never)
		}
	}
	return sum
}

// inRow is sharper with spans bounded by the row of a fence stop.
func (b *between) inRow(t int) (sum int64) {
	for k := range b.parts {
		c := &b.parts[k]
		if c.pocket != nil {
			sum += c.pocket.Most(t)
			continue
		}
		v, sharp := c.span.most(t)
		if !sharp {
			v = min(v, c.span.inRow(t))
		}
		sum = max(sum+v, never)
	}
	return sum
}

// never is below what any plan is worth.
const never = int64(-1) << 60

// uses gives for each state that can be left the best use of the parts at a stop of the
// fence: of those with the same score the one that travels least, and of those the first
// by blades and then wants. It reports whether they were computed before.
func (b *between) uses(t int, states *resource.States) (l []use, known bool) {
	all := true
	for _, c := range b.parts {
		all = all && (c.pocket != nil && c.pocket.Clear(t) || c.span != nil && c.span.Clear(t))
	}
	if all && b.clear != nil {
		return b.clear, true
	}
	l = []use{{state: states.Count - 1}}
	for _, c := range b.parts {
		l = b.extend(l, &c, t, states)
	}
	if all {
		b.clear = l
	}
	return l, false
}

// useBytes is the memory of a use with all that it holds.
func (b *between) useBytes() int { return int(unsafe.Sizeof(use{})) + 2*16*(b.last-b.first+1) }

// standing is how many of the fixed blades stand in the wood at a fence, except those
// that end a span and are scored with it.
func (b *between) standing(f int64) (n int64) {
	stands := func(j int) {
		if b.p.M.InWood(b.p.M.Blades[j].Lo - f) {
			n++
		}
	}
	if b.first <= b.last {
		stands(b.first)
	}
	for _, c := range b.parts {
		if c.pocket != nil {
			stands(c.to)
		}
	}
	return n
}

func (b *between) extend(l []use, c *part, t int, states *resource.States) []use {
	var out []use
	offer := func(u *use, state int, up int64, sc model.Score, travel int64, blades []int64, wants ...int) {
		n := use{score: u.score.Plus(sc), travel: u.travel + travel, up: u.up + up, state: state}
		k := slices.IndexFunc(out, func(o use) bool { return o.state == state })
		d := 1
		if k >= 0 {
			o := &out[k]
			if d = n.score.Cmp(&o.score); d == 0 && n.travel != o.travel {
				d = 1
				if n.travel > o.travel {
					d = -1
				}
			}
			if d < 0 {
				return
			}
		}
		n.blades = append(append(n.blades, u.blades...), blades...)
		n.wants = append(append(n.wants, u.wants...), wants...)
		switch {
		case k < 0:
			out = append(out, n)
		case d > 0 || n.before(&out[k]):
			out[k] = n
		}
	}
	for k := range l {
		u := &l[k]
		if b.p.Over(64) {
			return l
		}
		if c.span != nil {
			w := c.span.fillings(t)
			if c.span.full {
				return nil
			}
			states.Splits(u.state, func(a, left int) {
				if x := &w.by[a]; x.up >= 0 {
					offer(u, left, x.up, x.score, x.travel, x.blades, x.wants...)
				}
			})
			continue
		}
		at := []int64{b.p.M.Blades[c.to].Lo}
		c.pocket.Strips(t, func(w *model.Want, width, n int64, sc model.Score) {
			b.p.Over(64 + len(out))
			states.After(u.state, w, width, n, func(state int) {
				offer(u, state, b.p.Up(sc.Worth), sc, 0, at, w.Index)
			})
		})
		offer(u, u.state, 0, model.Score{}, 0, at, model.None)
	}
	return out
}

// before reports whether a use comes before another of its score and travel.
func (a *use) before(b *use) bool {
	if c := slices.Compare(a.blades, b.blades); c != 0 {
		return c < 0
	}
	return model.CompareWants(a.wants, b.wants) < 0
}
