package picture

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/ripwright/ripwright/solver/svg"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// edge gives the points of an edge of the board from its leading end on.
func (d *drawing) edge(height func(wood.Station) unit.Length) []string {
	st := d.board.Stations
	at := func(x, y unit.Length) string { return string(d.f.y(y).Append(append(d.f.x(x).Append(nil), ' '))) }
	points := make([]string, 1, len(st)+2)
	points[0] = at(0, height(st[0]))
	for _, s := range st {
		points = append(points, at(s.X, height(s)))
	}
	return append(points, at(d.board.Length, height(st[len(st)-1])))
}

func (d *drawing) nearEdge(in unit.Length) []string {
	return d.edge(func(s wood.Station) unit.Length { return s.Near + in })
}

func (d *drawing) farEdge(in unit.Length) []string {
	return d.edge(func(s wood.Station) unit.Length { return s.Far - in })
}

func open(points []string) string { return "M" + strings.Join(points, "L") }

// woodPath is the outline of the board.
func (d *drawing) woodPath() string {
	far := d.farEdge(0)
	for i, j := 0, len(far)-1; i < j; i, j = i+1, j-1 {
		far[i], far[j] = far[j], far[i]
	}
	return open(append(d.nearEdge(0), far...)) + "Z"
}

// outline draws the board's ends thin, its waney edges thick, and inside them the limit
// of the trim.
func (d *drawing) outline() {
	const wane = `fill="none" stroke="#4a3319" stroke-width="4" stroke-linejoin="round"`
	const sawn = `fill="none" stroke="#111111" stroke-width="1.4"`
	const trim = `fill="none" stroke="#4a3319" stroke-width="1.2" stroke-dasharray="7 4"`
	d.Path(d.woodPath(), sawn)
	d.Path(open(d.farEdge(0)), wane)
	if !d.board.StraightNear {
		d.Path(open(d.nearEdge(0)), wane)
	}
	if t := d.p.Saw.Trim; t > 0 {
		d.Path(open(d.farEdge(t)), trim)
		if !d.board.StraightNear {
			d.Path(open(d.nearEdge(t)), trim)
		}
	}
}

// defects draws each as a white patch with an outline and a cross.
func (d *drawing) defects() {
	for _, k := range d.board.Defects {
		x, y := d.f.x(k.FromX), d.f.y(k.ToY)
		w, h := max(d.f.x(k.ToX)-x, 3*pixel), max(d.f.y(k.FromY)-y, 3*pixel)
		d.Rect(x, y, w, h, `fill="#ffffff" fill-opacity=".82" stroke="#9c1f12" stroke-width="1.8"`)
		d.Path(fmt.Sprintf("M%s %sl%s %sM%s %sl%s -%s", x, y, w, h, x, y+h, w, h), `stroke="#9c1f12" stroke-width="1" fill="none"`)
	}
}

// kindNumbers gives each kind of defect a number, from 1 in the order in which they
// appear.
func (d *drawing) kindNumbers() map[string]int {
	number := map[string]int{}
	for _, k := range d.board.Defects {
		if number[k.Kind] == 0 {
			number[k.Kind] = len(number) + 1
		}
	}
	return number
}

// mostNumbered is how many defects get the number of their kind. More would cover the
// picture.
const mostNumbered = 40

// defectNumbers writes the number of its kind beside each defect.
func (d *drawing) defectNumbers() {
	if len(d.board.Defects) > mostNumbered {
		return
	}
	number := d.kindNumbers()
	for _, k := range d.board.Defects {
		x, y := d.f.x(k.FromX)-9*pixel, d.f.y(k.ToY)+7*pixel
		s := strconv.Itoa(number[k.Kind])
		w := svg.WidthOf(s, smallSize)
		d.Rect(x-w/2-2*pixel, y-7*pixel, w+4*pixel, 14*pixel, `fill="#ffffff" stroke="#9c1f12" stroke-width="1"`)
		d.Text(x, y, smallSize, svg.Middle, s, `fill="#9c1f12" font-weight="bold"`)
	}
}
