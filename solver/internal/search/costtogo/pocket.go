package costtogo

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// Pocket is the space between two neighbouring fixed blades.
type Pocket struct {
	p           *Profile
	near, far   *grid
	zero        int // height of the near blade at the first stop of the fence
	facedFrom   int // the first stop at which the strip begins at the face, not at the near blade
	stops       int // from the height of the one blade to that of the other
	width, most int64
	fits        []fit
	spotted     bool // whether defects may break the runs of a want that fits
}

// fit is a want that fits the pocket, and the worth of a clear strip.
type fit struct {
	wanted
	full           int64
	counts, values []int64 // by the height of the near blade, if edges alone do not decide them
}

// NewPocket gives the pocket between fixed blade j and the next one.
func NewPocket(p *Profile, j int) *Pocket {
	m := p.M
	a, b := m.Blades[j].Lo, m.Blades[j+1].Lo
	c := &Pocket{p: p, zero: p.zero(a), facedFrom: p.facedFrom(a), near: p.grid(p.offset(a)), far: p.grid(p.offset(b)), width: b - a - m.Kerf}
	c.stops = int((m.StopDown(b) - m.StopDown(a)) / m.Step)
	for _, x := range p.items {
		if x.w.Lo <= c.width && c.width <= x.w.Hi {
			f := fit{wanted: x, full: p.Up(x.w.Worth(c.width, x.w.Full))}
			switch {
			case p.of != nil: // some place of the board may leave two runs
				f.full = p.Up(x.w.Worth(c.width, x.w.AtMost(x.w.Full.N)))
			case x.spot != nil:
				c.spotted = c.spotted || x.w.Spotted()
				f.counts, f.values = c.count(x.w)
			}
			c.fits = append(c.fits, f)
			c.most = max(c.most, f.full)
		}
	}
	return c
}

// count gives what a want counts and, if it is crosscut, the worth of the pieces:
// measured again if defects or an edge are met by other heights than a stop before.
func (c *Pocket) count(w *model.Want) (n, values []int64) {
	p := c.p
	if !p.room(2 * p.N) {
		return nil, nil
	}
	n, values = p.none(p.N), p.none(p.N)
	anew := make(map[int]bool, 2*len(w.Refused))
	for _, k := range w.Refused {
		g := &p.M.Gaps[k]
		anew[int(unit.CeilDiv(int64(g.Hi)-p.Base-c.near.off-p.M.Kerf, p.M.Step))] = true
		anew[int(unit.FloorDiv(int64(g.Lo)-p.Base-c.far.off, p.M.Step))+1-c.stops] = true
	}
	known := false
	for i := range max(p.N-c.stops, 0) {
		e := i + c.stops
		if plain := i >= c.near.nearN && e < c.far.farN; !plain || !known || anew[i] {
			if known = plain; p.Over(p.cutting(w)) {
				break
			}
			cut := p.M.Cut(w, p.Y(i)+c.near.off+p.M.Kerf, p.Y(e)+c.far.off)
			n[i], values[i] = cut.N, cut.Value
			continue
		}
		n[i], values[i] = n[i-1], values[i-1]
		p.Over(1)
	}
	return n, values
}

// given is what a strip gives by the height of the near blade.
func (x *fit) given(i int) model.Cut { return model.Cut{N: x.counts[i], Value: x.values[i]} }

// entries gives the heights of both blades at a stop of the fence.
func (c *Pocket) entries(t int) (i, e int) { return c.zero - t, c.zero - t + c.stops }

// Clear reports whether every strip is clear from end to end, also of defects, at a stop
// of the fence.
func (c *Pocket) Clear(t int) bool {
	i, e := c.entries(t)
	return i >= c.near.nearN && e < c.far.farN && t < c.facedFrom && !c.spotted
}

// Most bounds what the pocket brings at a stop of the fence.
func (c *Pocket) Most(t int) (most int64) {
	i, e := c.entries(t)
	switch {
	case t >= c.facedFrom:
		for _, x := range c.far.facesOf(c.p, e) {
			most = max(most, x.value)
		}
		return most
	case i < 0 || e >= c.p.N:
		return 0
	case i >= c.near.nearN && e < c.far.farN && !c.spotted:
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
		cut := x.w.AtMost(n)
		if x.counts != nil {
			cut = x.given(i)
		}
		if cut.N > 0 {
			most = max(most, c.p.Up(x.w.Worth(c.width, cut)))
		}
	}
	return most
}

// Along adds Most at each stop of the fence from one on.
func (c *Pocket) Along(row []int64, from int) {
	first, end := from, from // the stops at which all is clear
	if !c.spotted {
		first, end = c.zero+c.stops-c.far.farN+1, min(c.zero-c.near.nearN+1, c.facedFrom)
	}
	first = min(max(first, from), from+len(row))
	end = min(max(end, first), from+len(row))
	for t := from; t < first; t++ {
		row[t-from] += c.Most(t)
	}
	for i := range row[first-from : end-from] {
		row[first-from+i] += c.most
	}
	for t := end; t < from+len(row); t++ {
		row[t-from] += c.Most(t)
	}
}

// Strips calls f for every strip that the pocket can bring at a stop of the fence: its
// width, the length that it counts, and its score.
func (c *Pocket) Strips(t int, f func(w *model.Want, width, n int64, sc model.Score)) {
	i, e := c.entries(t)
	if t >= c.facedFrom {
		for _, x := range c.far.facesOf(c.p, e) {
			y := c.p.Y(x.i) + c.far.off
			f(x.w, y, x.cut.N, x.w.Strip(y, x.cut))
		}
		return
	}
	if i < 0 || e >= c.p.N {
		return
	}
	for k := range c.fits {
		x := &c.fits[k]
		cut := x.w.Full
		switch rough := i < c.near.nearN; {
		case x.counts != nil:
			cut = x.given(i)
		case rough && e >= c.far.farN:
			cut = c.p.counted(&kind{w: x.w, class: x.class}, c.near, i, c.far, e)
		case rough:
			cut.N = c.near.near.most[x.class][i]
		case e >= c.far.farN:
			cut.N = c.far.far.most[x.class][e-c.far.farN]
		}
		if cut.N > 0 {
			f(x.w, c.width, cut.N, x.w.Strip(c.width, cut))
		}
	}
}
