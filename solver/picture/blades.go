package picture

import (
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/solver/svg"
	"github.com/ripwright/ripwright/solver/unit"
)

// bladesOffTheWood shows where blades stand beside and beyond the board.
func (d *drawing) bladesOffTheWood() {
	for i := range d.plan.Blades {
		if lo, hi := d.kerf(i); lo >= d.f.low && hi <= d.f.high {
			y, x := d.f.y(hi), besideX
			d.Rect(x, y, bladeX-x, max(d.f.y(lo)-y, pixel), `fill="#d4d4d4"`)
		}
	}
}

// kerfs draws the kerfs in black.
func (d *drawing) kerfs() {
	x, w := d.f.x(0), d.f.x(d.board.Length)-d.f.x(0)
	for i := range d.plan.Blades {
		lo, hi := d.kerf(i)
		y := d.f.y(hi)
		d.Rect(x, y, w, max(d.f.y(lo)-y, pixel), `fill="#000000"`)
	}
}

// fence draws the fence with its face at y = 0.
func (d *drawing) fence() {
	d.Rect(besideX, d.f.y(0), bladeX-besideX, fenceBar, `fill="#5b6670" stroke="#111111" stroke-width="1"`)
}

// Blades and fence reach from besideX to bladeX; their labels begin at labelX.
const (
	besideX = leftMargin - 10*pixel
	bladeX  = pageWidth - rightMargin + 16*pixel
	labelX  = bladeX + 32*pixel
)

// stand is a blade or the fence in the list of labels.
type stand struct {
	name, mount string
	at          unit.Length // on the arbor
	place       px          // height in the picture
	off         int         // 1: beyond what is shown; -1: behind
}

// stands lists blades and fence from the top of the picture down.
func (d *drawing) stands() []stand {
	all := []stand{{name: "fence", at: d.plan.Fence, place: d.f.y(0) + pixel}}
	for i, at := range d.plan.Blades {
		lo, hi := d.kerf(i)
		s := stand{name: fmt.Sprintf("blade %d", i+1), mount: "fixed", at: at, place: (d.f.y(lo) + d.f.y(hi)) / 2}
		if d.p.Saw.Blades[i].Moving {
			s.mount = "moving"
		}
		switch {
		case hi > d.f.high:
			s.off = 1
		case lo < d.f.low:
			s.off = -1
		}
		all = append(all, s)
	}
	slices.SortStableFunc(all, func(a, b stand) int { return int(a.place - b.place) })
	return all
}

// labels names blades and fence with their positions, and leads from each label
// to what it names; an arrow stands for what is outside the picture.
func (d *drawing) labels() {
	all := d.stands()
	places := make([]px, len(all))
	for i := range all {
		// What is outside the picture is labelled at its border.
		places[i] = min(max(all[i].place, d.f.top), d.f.bottom+lineHeight)
	}
	for i, y := range svg.Spread(places, lineHeight, d.f.top+6*pixel, d.f.legend-18*pixel) {
		s := &all[i]
		const line = `stroke="#333333" stroke-width="1" fill="none"`
		x := labelX - 14*pixel
		switch s.off {
		case 1:
			d.arrow(x, y, -1)
		case -1:
			d.arrow(x, y, 1)
		default:
			d.Path(fmt.Sprintf("M%s %sL%s %s", bladeX, s.place, labelX-5*pixel, y), line)
		}
		d.Text(labelX, y, textSize, svg.Left, s.name, "")
		d.Text(labelX+166*pixel, y, textSize, svg.Right, d.o.Units.Width(s.at), `font-weight="bold"`)
		d.Text(labelX+174*pixel, y, smallSize, svg.Left, s.mount, `fill="#333333"`)
	}
	d.Text(labelX, d.f.top-16*pixel, smallSize, svg.Left, "positions on the arbor", `font-style="italic"`)
}

// arrow points up (-1) or down (1).
func (d *drawing) arrow(x, y, way px) {
	tip := y + way*7*pixel
	d.Path(fmt.Sprintf("M%s %sV%sM%s %sL%s %sL%s %s", x, y-way*6*pixel, tip, x-4*pixel, tip-way*6*pixel, x, tip, x+4*pixel, tip-way*6*pixel),
		`stroke="#333333" stroke-width="1.2" fill="none"`)
}
