package picture

import (
	"fmt"
	"strconv"

	"github.com/ripwright/ripwright/solver/svg"
	"github.com/ripwright/ripwright/solver/unit"
)

// step gives the smallest of the steps that are at least a distance apart in the picture.
func step(steps []unit.Length, scale unit.Length, least px) unit.Length {
	for _, s := range steps {
		if px(s/scale) >= least {
			return s
		}
	}
	return steps[len(steps)-1]
}

func of(one unit.Length, counts ...unit.Length) (steps []unit.Length) {
	for _, n := range counts {
		steps = append(steps, n*one)
	}
	return steps
}

// rules draws the two rules along the axes, each in both systems.
func (d *drawing) rules() {
	d.ruleAcross()
	d.ruleAlong()
}

func (d *drawing) ruleAcross() {
	x := leftMargin - 44*pixel
	top := d.f.high
	d.Tick(x, d.f.y(0), x, d.f.y(top))
	mm := step(of(unit.Millimetre, 10, 20, 50, 100, 200, 500), d.f.across, 36*pixel)
	for at := unit.Length(0); at <= top; at += mm {
		d.Tick(x-7*pixel, d.f.y(at), x, d.f.y(at))
		d.Text(x-10*pixel, d.f.y(at), smallSize, svg.Right, strconv.FormatInt(int64(at/unit.Millimetre), 10), "")
	}
	in := step(of(unit.Inch, 1, 2, 5, 10, 20, 50), d.f.across, 36*pixel)
	for at := unit.Length(0); at <= top; at += in {
		d.Tick(x, d.f.y(at), x+7*pixel, d.f.y(at))
		d.Text(x+10*pixel, d.f.y(at), smallSize, svg.Left, strconv.FormatInt(int64(at/unit.Inch), 10), "")
	}
	d.Text(x-10*pixel, d.f.top-16*pixel, smallSize, svg.Right, "y mm", `font-style="italic"`)
	d.Text(x+10*pixel, d.f.top-16*pixel, smallSize, svg.Left, "in", `font-style="italic"`)
}

func (d *drawing) ruleAlong() {
	y := d.f.bottom + fenceBar + 44*pixel
	d.Tick(d.f.x(0), y, d.f.x(d.board.Length), y)
	cm := step(of(10*unit.Millimetre, 5, 10, 20, 50, 100, 200, 500), d.f.along, 52*pixel)
	for at := unit.Length(0); at <= d.board.Length; at += cm {
		d.Tick(d.f.x(at), y-7*pixel, d.f.x(at), y)
		d.Text(d.f.x(at), y-15*pixel, smallSize, svg.Middle, strconv.FormatInt(int64(at/unit.Millimetre), 10), "")
	}
	ft := step(of(unit.Inch, 3, 6, 12, 24, 60, 120), d.f.along, 52*pixel)
	for at := unit.Length(0); at <= d.board.Length; at += ft {
		d.Tick(d.f.x(at), y, d.f.x(at), y+7*pixel)
		d.Text(d.f.x(at), y+16*pixel, smallSize, svg.Middle, feet(at), "")
	}
	d.Text(leftMargin-20*pixel, y-15*pixel, smallSize, svg.Right, "x mm", `font-style="italic"`)
	d.Text(leftMargin-20*pixel, y+16*pixel, smallSize, svg.Right, "ft in", `font-style="italic"`)
}

// feet writes whole inches as a rule does: 6', 6'3.
func feet(l unit.Length) string {
	f, in := l/unit.Foot, l%unit.Foot/unit.Inch
	if in == 0 {
		return fmt.Sprintf("%d'", f)
	}
	return fmt.Sprintf(`%d'%d"`, f, in)
}
