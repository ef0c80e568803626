package picture

import (
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/svg"
	"github.com/ripwright/ripwright/solver/unit"
)

// waste hatches everything first: what no strip covers is waste.
func (d *drawing) waste() {
	x, w := d.f.x(0), d.f.x(d.board.Length)-d.f.x(0)
	d.Rect(x, 0, w, d.f.height, `fill="url(#edging)"`)
	for i := range d.plan.Pockets {
		k := &d.plan.Pockets[i]
		name := ""
		switch {
		case k.Width() <= 0:
		case k.Item != rip.None:
			name = "endtrim"
		case d.isOffcut(k):
			name = "offcut"
		}
		if name != "" {
			y := d.f.y(k.Right)
			d.Rect(x, y, w, d.f.y(k.Left)-y, `fill="url(#`+name+`)"`)
		}
	}
}

// isOffcut says what the account calls offcut: a pocket without an item between
// two blades that both cut wood.
func (d *drawing) isOffcut(k *rip.Pocket) bool {
	return k.Item == rip.None && k.LeftBlade != rip.FenceSide && d.cuts(k.LeftBlade) && d.cuts(k.RightBlade)
}

// cuts reports whether a blade is in the wood.
func (d *drawing) cuts(blade int) bool {
	lo, hi := d.kerf(blade)
	return d.board.Meets(lo, hi)
}

// strips draws the runs that count, or the pieces that they are crosscut to.
func (d *drawing) strips() {
	for i := range d.plan.Pockets {
		k := &d.plan.Pockets[i]
		if k.Item == rip.None {
			continue
		}
		m := d.marks[k.Item]
		y := d.f.y(k.Right)
		h := d.f.y(k.Left) - y
		runs, pieces := "", ""
		for _, r := range k.Runs {
			x := d.f.x(alongOf(r.From))
			runs += svg.Box(x, y, d.f.x(alongOf(r.To))-x, h)
		}
		for _, c := range k.Pieces {
			x := d.f.x(c.From)
			pieces += svg.Box(x, y, d.f.x(c.To)-x, h)
		}
		if len(d.p.Items[k.Item].Cuts) == 0 {
			d.fill(m, runs)
			continue
		}
		d.Path(runs, `fill="url(#loss)" stroke="#1c1c1c" stroke-width="1"`)
		d.fill(m, pieces)
	}
}

// stripLabels writes item, width and length into every strip, as far as they fit, and the
// lengths into pieces.
func (d *drawing) stripLabels() {
	for i := range d.plan.Pockets {
		k := &d.plan.Pockets[i]
		if k.Item == rip.None {
			if d.isOffcut(k) {
				d.label(0, d.board.Length, k, "offcut, "+d.o.Units.Width(k.Width()), "offcut")
			}
			continue
		}
		it, m, width := &d.p.Items[k.Item], d.marks[k.Item], d.o.Units.Width(k.Width())
		for _, c := range k.Pieces {
			length := d.o.Units.Long(c.To - c.From)
			d.label(c.From, c.To, k, m.Letter+", "+width+" x "+length, m.Letter+", "+length, m.Letter)
		}
		if len(it.Cuts) > 0 {
			continue
		}
		for _, r := range k.Runs {
			length := d.o.Units.Long(alongOf(r.To - r.From))
			d.label(alongOf(r.From), alongOf(r.To), k, m.Letter+": "+it.ID+", "+width+" x "+length,
				m.Letter+", "+width+" x "+length, m.Letter+", "+width, m.Letter)
		}
	}
}

func alongOf(r unit.Run) unit.Length { return unit.Length(r) * unit.Micrometre }

// label writes the first of the texts that fits into a stretch of a pocket, on
// white so that no hatch runs through it; none if none fits.
func (d *drawing) label(from, to unit.Length, k *rip.Pocket, texts ...string) {
	high := d.f.y(k.Left) - d.f.y(k.Right)
	size := min(textSize, high-4*pixel)
	if size < 10*pixel {
		return
	}
	room := d.f.x(to) - d.f.x(from) - 12*pixel
	for _, s := range texts {
		w := svg.WidthOf(s, size)
		if w > room {
			continue
		}
		x, y := (d.f.x(from)+d.f.x(to))/2, (d.f.y(k.Left)+d.f.y(k.Right))/2
		d.Rect(x-w/2-4*pixel, y-size*7/10, w+8*pixel, size*14/10, `fill="#ffffff" fill-opacity=".88" rx="3"`)
		d.Text(x, y, size, svg.Middle, s, `fill="#000000"`)
		return
	}
}
