// Package chart draws charts for planning as SVG: lines over an axis, and bars with their
// ranges.
//
// A page holds panels, one below the other. Nothing depends on colour: a line has its own
// dashes and marks and its name at its end, and a bar has its name beside it, so a page
// reads the same in grey. Coordinates are rounded to hundredths of a pixel; equal charts
// are equal byte for byte.
package chart

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/svg"
)

type px = svg.Px

const pixel = svg.Pixel

// Sizes of a page.
const (
	pageWidth = 1000 * pixel
	margin    = 24 * pixel
	lead      = 96 * pixel  // left of a plot: the numbers of its axis
	tail      = 268 * pixel // right of a plot: the names of its lines
	heading   = 62 * pixel  // above a plot
	footing   = 66 * pixel  // below it
	labelGap  = 18 * pixel

	textSize  = 14 * pixel
	smallSize = 12 * pixel
	titleSize = 20 * pixel
)

const fonts = `Helvetica, Arial, 'DejaVu Sans', sans-serif`

// Panel is a chart on a page: Lines, Bars or Intervals.
type Panel interface {
	width() px // that it is drawn for; a page is as wide as its widest panel
	height() px
	draw(p *page, top px)
}

// page is a page in progress.
type page struct {
	svg.Canvas
	wide px
}

// Draw gives a page of panels as an SVG document.
func Draw(title string, panels ...Panel) []byte {
	p, top := &page{}, 56*pixel
	high := top + margin
	for _, c := range panels {
		high += c.height()
		p.wide = max(p.wide, c.width())
	}
	if len(panels) == 0 {
		p.wide = pageWidth
	}
	fmt.Fprintf(&p.Out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" height="%s" font-family="%s" role="img">`+"\n",
		p.wide, high, p.wide, high, fonts)
	p.Element("title", title)
	p.Rect(0, 0, p.wide, high, `fill="#ffffff"`)
	p.Text(margin, 28*pixel, titleSize, svg.Left, svg.Fitted(title, titleSize, (p.wide-2*margin)*boldRoom/100), `font-weight="bold"`)
	for _, c := range panels {
		c.draw(p, top)
		top += c.height()
	}
	p.Out.WriteString("</svg>\n")
	return p.Out.Bytes()
}

// boldRoom is how much of a room's hundred a bold text's estimate may take.
const boldRoom = 84

// title writes what a panel shows.
func (p *page) title(says, note string, top px) {
	p.Text(margin, top+8*pixel, textSize, svg.Left, svg.Fitted(says, textSize, (p.wide-2*margin)*boldRoom/100), `font-weight="bold"`)
	if note != "" {
		p.Text(margin, top+28*pixel, smallSize, svg.Left, svg.Fitted(note, smallSize, p.wide-2*margin), `fill="#333333"`)
	}
}

const (
	grid  = `stroke="#cfcfcf" stroke-width="1" fill="none"`
	frame = `stroke="#111111" stroke-width="1.2" fill="none"`
)
