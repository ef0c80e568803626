package chart

import (
	"fmt"
	"slices"
	"strings"

	"github.com/ripwright/ripwright/solver/svg"
)

// Point is a point of a line, in units of the axes.
type Point struct{ X, Y float64 }

// Line is a line with its name. Its points are in rising order of X.
type Line struct {
	Name   string
	Points []Point
}

// Lines is a panel of lines.
type Lines struct {
	Title, Note string
	X, Y        Axis
	Lines       []Line
}

// plotHeight is the height of a plot if the names of its lines fit.
const plotHeight = 280 * pixel

func (c Lines) plot() px {
	return max(plotHeight, px(len(c.Lines)+1)*labelGap)
}

func (c Lines) width() px { return pageWidth }

func (c Lines) height() px { return heading + c.plot() + footing }

func (c Lines) draw(p *page, top px) {
	p.title(c.Title, c.Note, top)
	top += heading
	high, wide := c.plot(), pageWidth-lead-tail
	var xs, ys []float64
	for _, l := range c.Lines {
		for _, v := range l.Points {
			xs, ys = append(xs, v.X), append(ys, v.Y)
		}
	}
	x := c.X.scaled(lead, wide, xs)
	y := c.Y.scaled(top+high, -high, ys)
	for _, v := range y.ticks() {
		p.Path(fmt.Sprintf("M%s %sh%s", lead, y.place(v), wide), grid)
		p.Text(lead-8*pixel, y.place(v), smallSize, svg.Right, y.show(v), "")
	}
	for _, v := range x.ticks() {
		p.Path(fmt.Sprintf("M%s %sv%s", x.place(v), top, high+5*pixel), grid)
		p.Text(x.place(v), top+high+16*pixel, smallSize, svg.Middle, x.show(v), "")
	}
	p.Path(fmt.Sprintf("M%s %sv%sh%s", lead, top, high, wide), frame)
	p.Text(lead+wide/2, top+high+38*pixel, smallSize, svg.Middle, c.X.Says, `font-style="italic"`)
	p.Text(margin, top-13*pixel, smallSize, svg.Left, c.Y.Says, `font-style="italic"`)
	for i, l := range c.Lines {
		styleOf(i).line(p, &x, &y, l.Points)
	}
	c.names(p, &x, &y, top)
}

// names writes the name of each line at its end, with a leader.
func (c Lines) names(p *page, x, y *scale, top px) {
	order := make([]int, 0, len(c.Lines))
	for i, l := range c.Lines {
		if len(l.Points) > 0 {
			order = append(order, i)
		}
	}
	end := func(i int) px { return y.place(c.Lines[i].Points[len(c.Lines[i].Points)-1].Y) }
	slices.SortStableFunc(order, func(a, b int) int { return int(end(a) - end(b)) })
	places := make([]px, len(order))
	for n, i := range order {
		places[n] = end(i)
	}
	const at = pageWidth - tail + 44*pixel
	for n, to := range svg.Spread(places, labelGap, top, top+c.plot()) {
		i := order[n]
		l := c.Lines[i]
		from := x.place(l.Points[len(l.Points)-1].X) + 7*pixel
		p.Path(fmt.Sprintf("M%s %sL%s %s", from, places[n], at-26*pixel, to), `stroke="#999999" stroke-width=".8" fill="none"`)
		s := styleOf(i)
		s.mark(p, at-14*pixel, to)
		p.Text(at, to, textSize, svg.Left, svg.Fitted(l.Name, textSize, pageWidth-margin-at), "")
	}
}

// style is what distinguishes a line.
type style struct {
	colour, dashes string
	shape          int
}

// Dark on white, so that lines read without colour.
var (
	colours = []string{"#1f4e79", "#8a4b08", "#2e6b34", "#6b2e6b", "#444444", "#7a1f1f"}
	dashes  = []string{"", "9 4", "2 4", "12 4 2 4", "5 3"}
)

const shapes = 4

func styleOf(i int) style {
	return style{colours[i%len(colours)], dashes[i%len(dashes)], i % shapes}
}

func (s style) line(p *page, x, y *scale, points []Point) {
	var d strings.Builder
	for i, v := range points {
		to := "L"
		if i == 0 {
			to = "M"
		}
		fmt.Fprintf(&d, "%s%s %s", to, x.place(v.X), y.place(v.Y))
	}
	if d.Len() == 0 {
		return
	}
	dash := ""
	if s.dashes != "" {
		dash = ` stroke-dasharray="` + s.dashes + `"`
	}
	p.Path(d.String(), `fill="none" stroke="`+s.colour+`" stroke-width="2"`+dash)
	every := (len(points) + mostMarks - 1) / mostMarks
	for i := 0; i < len(points); i += every {
		s.mark(p, x.place(points[i].X), y.place(points[i].Y))
	}
}

// mostMarks is how many marks a line has at most; more would hide its dashes.
const mostMarks = 14

// mark draws the line's mark at a place.
func (s style) mark(p *page, x, y px) {
	const r = 4 * pixel
	d := ""
	switch s.shape {
	case 0:
		d = fmt.Sprintf("M%s %sa%s %s 0 1 0 %s 0a%s %s 0 1 0 %s 0Z", x-r, y, r, r, 2*r, r, r, -2*r)
	case 1:
		d = svg.Box(x-r, y-r, 2*r, 2*r)
	case 2:
		d = fmt.Sprintf("M%s %sl%s %sh%sZ", x, y-r-r/4, r+r/4, 2*r, -2*r-r/2)
	case 3:
		d = fmt.Sprintf("M%s %sl%s %sl%s %sl%s %sZ", x, y-r-r/4, r+r/4, r+r/4, -r-r/4, r+r/4, -r-r/4, -r-r/4)
	}
	p.Path(d, `fill="#ffffff" stroke="`+s.colour+`" stroke-width="2"`)
}
