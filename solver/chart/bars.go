package chart

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/svg"
)

// Bar is a bar with its name, a note, and its value's likely range; Low and High equal to
// Value: the range is not known.
type Bar struct {
	Name, Says       string
	Value, Low, High float64
	Shown            string // the value as written at the bar's end
	// Given marks the present state among possible ones.
	Given bool
}

// Bars is a panel of bars that start at 0, one below the other.
type Bars struct {
	Title, Note string
	Axis        Axis
	Bars        []Bar
}

const (
	barGap    = 46 * pixel
	barHeight = 18 * pixel
	indent    = 6 * pixel // of a name from the line at 0
)

func (c Bars) width() px { return pageWidth }

func (c Bars) height() px { return heading + px(len(c.Bars))*barGap + footing }

func (c Bars) draw(p *page, top px) {
	p.title(c.Title, c.Note, top)
	top += heading
	const left, wide = margin, pageWidth - margin - tail/2
	high := px(len(c.Bars)) * barGap
	values := []float64{0}
	for _, b := range c.Bars {
		values = append(values, b.Value, b.Low, b.High)
	}
	x := c.Axis.scaled(left, wide-left, values)
	for _, v := range x.ticks() {
		p.Path(fmt.Sprintf("M%s %sv%s", x.place(v), top, high+5*pixel), grid)
		p.Text(x.place(v), top+high+16*pixel, smallSize, svg.Middle, x.show(v), "")
	}
	p.Text((left+wide)/2, top+high+38*pixel, smallSize, svg.Middle, c.Axis.Says, `font-style="italic"`)
	for i, b := range c.Bars {
		y := top + px(i)*barGap
		name := svg.Fitted(b.Name+": "+b.Says, textSize, pageWidth-2*margin-indent)
		p.Rect(left+indent, y+2*pixel, svg.WidthOf(name, textSize), 17*pixel, `fill="#ffffff"`)
		p.Text(left+indent, y+11*pixel, textSize, svg.Left, name, "")
		bar(p, &x, b, y+22*pixel)
	}
	p.Path(fmt.Sprintf("M%s %sv%s", x.place(0), top, high), frame)
}

// bar draws a bar and the range of its value.
func bar(p *page, x *scale, b Bar, y px) {
	from, to := x.place(0), x.place(b.Value)
	fill := `fill="#b9cfe0" stroke="#1f4e79" stroke-width="1.2"`
	if b.Given {
		fill = `fill="#ffffff" stroke="#111111" stroke-width="2" stroke-dasharray="6 3"`
	}
	p.Rect(min(from, to), y, max(from, to)-min(from, to), barHeight, fill)
	end := to
	if b.Low != b.High {
		lo, hi, mid := x.place(b.Low), x.place(b.High), y+barHeight/2
		p.Path(fmt.Sprintf("M%s %sH%sM%s %sv%sM%s %sv%s", lo, mid, hi, lo, mid-5*pixel, 10*pixel, hi, mid-5*pixel, 10*pixel),
			`stroke="#111111" stroke-width="1.6" fill="none"`)
		end = max(end, hi)
	}
	p.Text(max(end, from)+8*pixel, y+barHeight/2, textSize, svg.Left, b.Shown, `font-weight="bold"`)
}
