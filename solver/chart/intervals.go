package chart

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/svg"
)

// Interval is what was expected, the interval for one more trial, and the outcome.
type Interval struct {
	Name            string
	Trials          []float64
	Mean, Low, High float64
	Outcome         float64
}

// Intervals is a panel of intervals over one axis, one below the other: trials as dots, the
// interval as a bar with its mean, and the outcome as a diamond, empty outside the bar.
type Intervals struct {
	Title, Note string
	Axis        Axis
	Intervals   []Interval
}

const (
	rowHeight      = 30 * pixel  // of an interval
	intervalsWidth = 480 * pixel // so that the text is readable on a phone
	intervalNames  = 84 * pixel
)

func (c Intervals) width() px { return intervalsWidth }

func (c Intervals) height() px { return heading + px(len(c.Intervals))*rowHeight + footing }

func (c Intervals) draw(p *page, top px) {
	p.title(c.Title, c.Note, top)
	top += heading
	left, wide := margin+intervalNames, p.wide-2*margin-intervalNames
	high := px(len(c.Intervals)) * rowHeight
	var values []float64
	for _, i := range c.Intervals {
		values = append(append(values, i.Low, i.High, i.Outcome), i.Trials...)
	}
	x := c.Axis.scaled(left, wide, values)
	for _, v := range x.ticks() {
		p.Path(fmt.Sprintf("M%s %sv%s", x.place(v), top, high+5*pixel), grid)
		p.Text(x.place(v), top+high+17*pixel, textSize, svg.Middle, x.show(v), "")
	}
	p.Text(left+wide/2, top+high+40*pixel, textSize, svg.Middle, c.Axis.Says, `font-style="italic"`)
	for n, i := range c.Intervals {
		y := top + px(n)*rowHeight + rowHeight/2
		p.Text(left-12*pixel, y, textSize, svg.Right, svg.Fitted(i.Name, textSize, left-margin-12*pixel), "")
		interval(p, &x, i, y)
	}
}

func interval(p *page, x *scale, i Interval, y px) {
	const tall, r = 9 * pixel, 7 * pixel
	lo, hi := x.place(i.Low), x.place(i.High)
	p.Rect(lo, y-tall, hi-lo, 2*tall, `fill="#b9cfe0" stroke="#1f4e79" stroke-width="1.2"`)
	p.Path(fmt.Sprintf("M%s %sv%s", x.place(i.Mean), y-tall-2*pixel, 2*tall+4*pixel), `stroke="#1f4e79" stroke-width="3"`)
	for _, v := range i.Trials {
		const dot = 3 * pixel
		p.Path(fmt.Sprintf("M%s %sa%s %s 0 1 0 %s 0a%s %s 0 1 0 %s 0Z", x.place(v)-dot, y, dot, dot, 2*dot, dot, dot, -2*dot), `fill="#111111" fill-opacity=".5"`)
	}
	style := `fill="#c2410c" stroke="#ffffff" stroke-width="1.2"`
	if i.Outcome < i.Low || i.Outcome > i.High {
		style = `fill="#ffffff" stroke="#c2410c" stroke-width="2.4"`
	}
	p.Path(fmt.Sprintf("M%s %sl%s %sl%s %sl%s %sZ", x.place(i.Outcome), y-r, r, r, -r, r, -r, -r), style)
}
