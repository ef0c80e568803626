package costtogo

import "github.com/ripwright/ripwright/solver/internal/search/model"

// Pocket is the space between two fixed blades that are neighbours.
type Pocket struct {
	p     *Profile
	near  int64 // position of the blade on the near side
	stops int   // to the one on the far side
	fits  []*kind
}

// NewPocket gives the pocket between fixed blade j and the next one, both on the
// step.
func NewPocket(p *Profile, j int) *Pocket {
	m := p.M
	c := &Pocket{p: p, near: m.Blades[j].Lo}
	width := m.Blades[j+1].Lo - c.near - m.Kerf
	c.stops = int((width + m.Kerf) / m.Step)
	for k := range p.kinds {
		if x := &p.kinds[k]; x.w.Lo <= width && width <= x.w.Hi {
			c.fits = append(c.fits, x)
		}
	}
	return c
}

// entry gives the entry of the near blade at a fence.
func (c *Pocket) entry(fence int64) int { return int((c.near - fence - c.p.Base) / c.p.M.Step) }

// faced reports whether the near blade, at height y, leaves what the far one cuts off to
// begin at the face of the fence.
func (c *Pocket) faced(y int64) bool { return c.p.M.Board.StraightNear && y+c.p.M.Kerf <= 0 }

// Clear reports whether every strip is clear from end to end at a fence.
func (c *Pocket) Clear(fence int64) bool {
	i := c.entry(fence)
	return i >= c.p.nearN && i+c.stops < c.p.farN && !c.faced(c.near-fence)
}

// Most bounds what the pocket brings at a fence.
func (c *Pocket) Most(fence int64) int64 {
	y := c.near - fence
	i := c.entry(fence)
	e := i + c.stops
	most := int64(0)
	if c.faced(y) {
		for _, x := range c.p.facesOf(e) {
			most = max(most, x.value)
		}
		return most
	}
	if y < c.p.Base || e >= c.p.N {
		return 0
	}
	for _, x := range c.fits {
		d := int64(c.stops - x.lo)
		v := x.full + x.slope*d
		if i < c.p.nearN {
			v = min(v, x.near.value[i]+x.near.slope[i]*d)
		}
		if e >= c.p.farN {
			v = min(v, x.far.value[e-c.p.farN]+x.far.slope[e-c.p.farN]*d)
		}
		most = max(most, v)
	}
	return most
}

// Strips calls f for every strip that the pocket can bring at a fence: its width, the
// length that it counts, and its score.
func (c *Pocket) Strips(fence int64, f func(w *model.Want, width, n int64, sc model.Score)) {
	m := c.p.M
	i := c.entry(fence)
	if c.faced(c.near - fence) {
		for _, x := range c.p.facesOf(i + c.stops) {
			y := c.p.Y(x.i)
			f(x.w, y, x.n, x.w.Strip(y, x.n))
		}
		return
	}
	if c.near-fence < c.p.Base {
		return
	}
	width := int64(c.stops)*m.Step - m.Kerf
	for _, x := range c.fits {
		n := x.w.Full.N
		switch e := i + c.stops; {
		case e >= c.p.N:
			return
		case i < c.p.nearN && e >= c.p.farN:
			n = c.p.counted(x, i, e)
		case i < c.p.nearN:
			n = x.near.n[i]
		case e >= c.p.farN:
			n = x.far.n[e-c.p.farN]
		}
		if n > 0 {
			f(x.w, width, n, x.w.Strip(width, n))
		}
	}
}
