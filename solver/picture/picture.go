// Package picture draws a plan as an SVG picture to scale.
//
// Both axes have their own scale, since boards are long and strips narrow: a whole
// number, stated in the picture, says how much larger things are drawn across than along,
// and each axis has one rule in millimetres or metres and one in inches or feet. The
// meaning of a line or a hatch does not depend on its colour: letters tell strips apart,
// hatching marks waste, and the picture reads the same in grey.
//
// Coordinates are computed in whole hundredths of a pixel from whole nanometres, so equal
// plans give equal pictures, byte for byte, on every machine.
package picture

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/picture/marks"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/svg"
	"github.com/ripwright/ripwright/solver/unit/people"
	"github.com/ripwright/ripwright/solver/wood"
)

// px is a coordinate or a size in hundredths of a pixel.
type px = svg.Px

const pixel = svg.Pixel

// Options of a picture.
type Options struct {
	Board string        // the board's name; may be empty
	Units people.System // of written widths and positions
	// Broken are rules that the setting breaks, as rip.Check gives them; they are written
	// into the picture, so that nobody saws by it.
	Broken fault.List
}

// drawing is one picture in progress.
type drawing struct {
	svg.Canvas
	p     *rip.Problem
	plan  *rip.Plan
	board wood.Board // as it lies
	o     Options
	f     frame
	marks []*marks.Mark // of the items in the plan, by index of the item; otherwise nil
}

// Draw gives the picture of a plan as an SVG document. The plan must be one for the
// problem, as rip.Solve or rip.Check gives it.
func Draw(p *rip.Problem, plan *rip.Plan, o Options) []byte {
	d := &drawing{p: p, plan: plan, board: p.Board.Turned(plan.Turn), o: o}
	if plan.Skew != 0 {
		d.board = d.board.Skewed(plan.Skew)
	}
	d.marks = marksOf(p, plan)
	d.f = newFrame(d)
	d.begin()
	d.heading()
	d.bladesOffTheWood()
	d.inWood(func() {
		d.waste()
		d.strips()
		d.defects()
		d.kerfs()
	})
	d.outline()
	d.stripLabels()
	d.defectNumbers()
	d.fence()
	d.labels()
	d.rules()
	d.legend()
	d.end()
	return d.Out.Bytes()
}

func (d *drawing) begin() {
	fmt.Fprintf(&d.Out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" height="%s" font-family="%s" role="img">`+"\n",
		d.f.width, d.f.height, d.f.width, d.f.height, fonts)
	d.Element("title", "How to rip board "+d.o.Board)
	d.Element("desc", "A plan is advice. Guards, interlocks and the machine's own limits stay in force.")
	d.Out.WriteString(patterns)
	d.itemPatterns()
	d.Out.WriteString(`<clipPath id="wood"><path d="` + d.woodPath() + `"/></clipPath>` + "\n")
	d.Rect(0, 0, d.f.width, d.f.height, `fill="#ffffff"`)
}

func (d *drawing) end() { d.Out.WriteString("</svg>\n") }

// inWood draws what ends where the wood does.
func (d *drawing) inWood(draw func()) {
	d.Out.WriteString(`<g clip-path="url(#wood)">` + "\n")
	draw()
	d.Out.WriteString("</g>\n")
}
