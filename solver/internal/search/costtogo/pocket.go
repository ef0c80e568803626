package costtogo

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// Pocket is the space between two fixed blades that are neighbours.
type Pocket struct {
	p           *Profile
	at          int64 // position of the blade on the near side
	near, far   *grid
	stops       int // from the height of the one blade to that of the other
	width, most int64
	fits        []fit
}

// fit is a want whose strip the pocket can be, and what that is worth if it is clear.
type fit struct {
	wanted
	full int64
}

// NewPocket gives the pocket between fixed blade j and the next one.
func NewPocket(p *Profile, j int) *Pocket {
	m := p.M
	a, b := m.Blades[j].Lo, m.Blades[j+1].Lo
	c := &Pocket{p: p, at: a, near: p.grid(p.offset(a)), far: p.grid(p.offset(b)), width: b - a - m.Kerf}
	c.stops = int((m.StopDown(b) - m.StopDown(a)) / m.Step)
	for _, x := range p.items {
		if x.w.Lo <= c.width && c.width <= x.w.Hi {
			c.fits = append(c.fits, fit{x, p.Up(x.w.Worth(c.width, x.w.Full.N))})
			c.most = max(c.most, c.fits[len(c.fits)-1].full)
		}
	}
	return c
}

// entries gives the heights of both blades at a fence.
func (c *Pocket) entries(fence int64) (i, e int) {
	i = int(unit.FloorDiv(c.at-fence-c.p.Base, c.p.M.Step))
	return i, i + c.stops
}

// faced reports whether the near blade leaves what the far one cuts off to begin at the
// face of the fence.
func (c *Pocket) faced(fence int64) bool {
	return c.p.M.Board.StraightNear && c.at-fence+c.p.M.Kerf <= 0
}

// Clear reports whether every strip is clear from end to end at a fence.
func (c *Pocket) Clear(fence int64) bool {
	i, e := c.entries(fence)
	return i >= c.near.nearN && e < c.far.farN && !c.faced(fence)
}

// Most bounds what the pocket brings at a fence.
func (c *Pocket) Most(fence int64) (most int64) {
	i, e := c.entries(fence)
	switch {
	case c.faced(fence):
		for _, x := range c.far.facesOf(c.p, e) {
			most = max(most, x.value)
		}
		return most
	case i < 0 || e >= c.p.N:
		return 0
	case i >= c.near.nearN && e < c.far.farN:
		return c.most
	}
	for k := range c.fits {
		x := &c.fits[k]
		n := x.w.Full.N
		if i < c.near.nearN {
			n = min(n, c.near.near.most[x.class][i])
		}
		if e >= c.far.farN {
			n = min(n, c.far.far.most[x.class][e-c.far.farN])
		}
		if n > 0 {
			most = max(most, c.p.Up(x.w.Worth(c.width, n)))
		}
	}
	return most
}

// Strips calls f for every strip that the pocket can bring at a fence: its width, the
// length that it counts, and its score.
func (c *Pocket) Strips(fence int64, f func(w *model.Want, width, n int64, sc model.Score)) {
	i, e := c.entries(fence)
	if c.faced(fence) {
		for _, x := range c.far.facesOf(c.p, e) {
			y := c.p.Y(x.i) + c.far.off
			f(x.w, y, x.n, x.w.Strip(y, x.n))
		}
		return
	}
	if i < 0 || e >= c.p.N {
		return
	}
	for k := range c.fits {
		x := &c.fits[k]
		n := x.w.Full.N
		switch rough := i < c.near.nearN; {
		case rough && e >= c.far.farN:
			n = c.p.counted(x.class, x.w, c.near, i, c.far, e)
		case rough:
			n = c.near.near.most[x.class][i]
		case e >= c.far.farN:
			n = c.far.far.most[x.class][e-c.far.farN]
		}
		if n > 0 {
			f(x.w, c.width, n, x.w.Strip(c.width, n))
		}
	}
}
