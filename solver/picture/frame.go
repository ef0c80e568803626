package picture

import (
	"github.com/ripwright/ripwright/solver/unit"
)

// Sizes of the picture's parts.
const (
	pageWidth   = 1280 * pixel
	leftMargin  = 132 * pixel // the rule across
	rightMargin = 290 * pixel // the blades' labels
	topMargin   = 104 * pixel // the heading
	fenceBar    = 10 * pixel
	lineHeight  = 20 * pixel

	textSize  = 14 * pixel
	smallSize = 12 * pixel
	titleSize = 20 * pixel
)

// Margins shown beyond the wood and behind the fence.
const (
	beyond = 60 * unit.Millimetre
	behind = 15 * unit.Millimetre
)

// frame says where the points of the board lie in the picture.
type frame struct {
	// Nanometres per hundredth of a pixel.
	along, across unit.Length
	times         unit.Length // how much larger across than along
	zero          px          // height of y = 0
	top, bottom   px          // of the part to scale
	low, high     unit.Length // y that is shown
	legend        px          // where the legend begins
	width, height px
}

func newFrame(d *drawing) frame {
	f := frame{width: pageWidth}
	f.along = max((d.board.Length+plotWidth-1)/plotWidth, 1)
	f.low, f.high = d.reach()
	// At most 3 pixels a millimetre, at least a half; in between, a scale that makes
	// boards of any width about equally high.
	want := (f.high - f.low) / unit.Length(520*pixel)
	want = min(max(want, unit.Millimetre/unit.Length(3*pixel)), 2*unit.Millimetre/unit.Length(pixel))
	f.times = max(f.along/max(want, 1), 1)
	f.across = max(f.along/f.times, 1)
	f.times = max(f.along/f.across, 1)
	f.along = f.across * f.times // a whole number of times, exactly

	span := px((f.high - f.low) / f.across)
	// The blades' labels stand above each other.
	span = max(span, px(len(d.plan.Blades)+2)*lineHeight)
	f.top = topMargin
	if n := len(d.o.Broken); n > 0 {
		f.top += px(min(n, mostBroken)+1)*lineHeight + 16*pixel
	}
	f.bottom = f.top + span
	f.zero = f.bottom - px(-f.low/f.across)
	f.legend = f.bottom + fenceBar + 112*pixel
	f.height = f.legend + px(legendRows(d)+1)*(lineHeight+2*pixel) + 26*pixel
	f.height = (f.height + pixel - 1) / pixel * pixel
	return f
}

// plotWidth is the greatest length of a board in hundredths of a pixel.
const plotWidth = unit.Length(pageWidth - leftMargin - rightMargin)

func (f *frame) x(at unit.Length) px { return leftMargin + px(at/f.along) }
func (f *frame) y(at unit.Length) px {
	// Rounded down on either side of 0, so that widths do not depend on where
	// they lie.
	return f.zero - px(unit.FloorDiv(int64(at), int64(f.across)))
}

// reach gives the y that is shown: the fence face, the wood, and the blades near them.
func (d *drawing) reach() (low, high unit.Length) {
	near, _, _, far := d.board.Span()
	low, high = min(near, 0), max(far, 0)
	wood := high
	for i := range d.plan.Blades {
		lo, hi := d.kerf(i)
		if hi > high && hi <= wood+beyond {
			high = hi
		}
		if lo < low && lo >= -behind {
			low = lo
		}
	}
	return low, high + (high-low)/40
}

// kerf gives the band of y that a blade takes away.
func (d *drawing) kerf(blade int) (lo, hi unit.Length) {
	lo = d.plan.Blades[blade] - d.plan.Fence
	return lo, lo + d.p.Saw.Kerf
}
