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
	known       []use   // the uses kept last
	buf         [2]useBuffer
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
			x.span.halves = [2]half{{graph: graph()}, {graph: graph()}}
			if !p.M.Plain() || p.M.Crosscuts() { // the memory of their zones is counted as they are made
				x.span.halves[0].side, x.span.halves[1].side = x.span.Half(false), x.span.Half(true)
			}
			b.spans = append(b.spans, x.span)
		}
		b.parts = append(b.parts, x)
		i = j
	}
	return b
}

// begin prepares it for other states.
func (b *between) begin(t *resource.States, left *budget.Budget) {
	b.clear, b.known = nil, nil
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
