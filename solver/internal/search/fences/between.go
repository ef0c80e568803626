package fences

import (
	"cmp"
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

// uses gives for each state that can be left the best use of the parts at a stop of the
// fence: of those with the same score the one that travels least, and of those the first
// by blades and then wants. They hold until the next call; if all parts are clear, they
// are to be kept as clear.
func (b *between) uses(t int, states *resource.States) (l []use, all bool) {
	all = true
	for _, c := range b.parts {
		all = all && (c.pocket != nil && c.pocket.Clear(t) || c.span != nil && c.span.Clear(t))
	}
	if all && b.clear != nil {
		return b.clear, all
	}
	b.buf[0].list = append(b.buf[0].list[:0], use{state: states.Count - 1})
	l = b.buf[0].list
	for k := range b.parts {
		l = b.extend(l, &b.parts[k], t, states, &b.buf[(k+1)%2])
	}
	return l, all
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

// useBuffer is memory for uses: the blades and wants of each have their own stretch.
type useBuffer struct {
	list   []use
	blades []int64
	wants  []int
	at     [1]int64
}

// own gives a copy of uses.
func own(l []use) []use {
	n := 0
	for k := range l {
		n += len(l[k].blades)
	}
	c, blades, wants := slices.Clone(l), make([]int64, 0, n), make([]int, 0, n)
	for k := range c {
		from := len(blades)
		blades, wants = append(blades, l[k].blades...), append(wants, l[k].wants...)
		c[k].blades, c[k].wants = blades[from:len(blades):len(blades)], wants[from:len(wants):len(wants)]
	}
	return c
}

func (b *between) extend(l []use, c *part, t int, states *resource.States, to *useBuffer) []use {
	n := b.last - b.first
	to.list = to.list[:0]
	to.blades, to.wants = slices.Grow(to.blades[:0], n*states.Count), slices.Grow(to.wants[:0], n*states.Count)
	offer := func(u *use, state int, up int64, sc model.Score, travel int64, blades []int64, wants ...int) {
		n := use{score: u.score.Plus(sc), travel: u.travel + travel, up: u.up + up, state: state}
		k := slices.IndexFunc(to.list, func(o use) bool { return o.state == state })
		if k < 0 {
			k = len(to.list)
			n.blades = to.blades[len(to.blades):]
			n.wants = to.wants[len(to.wants):]
			n.blades = append(append(n.blades, u.blades...), blades...)
			n.wants = append(append(n.wants, u.wants...), wants...)
			to.blades, to.wants = to.blades[:len(to.blades)+len(n.blades)], to.wants[:len(to.wants)+len(n.wants)]
			to.list = append(to.list, n)
			return
		}
		o := &to.list[k]
		if cmp.Or(n.score.Cmp(&o.score), cmp.Compare(o.travel, n.travel), u.compare(o, blades, wants)) <= 0 {
			return
		}
		n.blades = append(append(o.blades[:0], u.blades...), blades...)
		n.wants = append(append(o.wants[:0], u.wants...), wants...)
		*o = n
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
		to.at[0] = b.p.M.Blades[c.to].Lo
		c.pocket.Strips(t, func(w *model.Want, width, n int64, sc model.Score) {
			b.p.Over(64 + len(to.list))
			states.After(u.state, w, width, n, func(state int) {
				offer(u, state, b.p.Up(sc.Worth), sc, 0, to.at[:], w.Index)
			})
		})
		offer(u, u.state, 0, model.Score{}, 0, to.at[:], model.None)
	}
	return to.list
}

// compare is above 0 if a use that is extended by blades and wants comes before another
// of its score and travel.
func (a *use) compare(b *use, blades []int64, wants []int) int {
	n := len(a.blades)
	return -cmp.Or(slices.Compare(a.blades, b.blades[:n]), slices.Compare(blades, b.blades[n:]),
		model.CompareWants(a.wants, b.wants[:n]), model.CompareWants(wants, b.wants[n:]))
}

// same reports whether two uses are equal.
func (a *use) same(b *use) bool {
	return a.score == b.score && a.travel == b.travel && a.up == b.up && a.state == b.state &&
		slices.Equal(a.blades, b.blades) && slices.Equal(a.wants, b.wants)
}
