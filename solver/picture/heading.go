package picture

import (
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/svg"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// mostBroken is how many broken rules are written out.
const mostBroken = 6

// boldRoom is the part of a room, in hundredths, that a bold text's estimate may take.
const boldRoom = 84

func (d *drawing) heading() {
	const x = 24 * pixel
	room := pageWidth - 2*x
	u := d.o.Units
	name := "Board"
	if d.o.Board != "" {
		name += " " + d.o.Board
	}
	a := &d.plan.Account
	said := fmt.Sprintf("worth %.2f", d.plan.Worth.Money())
	if a.Face > 0 {
		said += fmt.Sprintf(", yield %.1f %%", 100*a.Yield())
	}
	d.Text(x, 26*pixel, titleSize, svg.Left, svg.Fitted(name, titleSize, (room-svg.WidthOf(said, titleSize)-40*pixel)*boldRoom/100), `font-weight="bold"`)
	d.Text(pageWidth-x, 26*pixel, titleSize, svg.Right, said, "")
	size := fmt.Sprintf("%s long, up to %s wide", u.Long(d.board.Length), u.Width(d.board.GreatestWidth()))
	if t := d.board.Thickness; t > 0 {
		size += ", " + u.Width(t) + " thick"
	}
	if d.board.StraightNear {
		size += "; near edge straight"
	}
	if t := d.plan.Turn; t != wood.AsScanned {
		size += "; turned " + t.String() + "," + face[t.Edges() == t.Ends()]
	}
	if s := d.plan.Skew; s != 0 {
		size += fmt.Sprintf("; set at a skew of %s per m,", u.Width(s))
	}
	if d.plan.Turn != wood.AsScanned || d.plan.Skew != 0 {
		size = strings.TrimSuffix(size, ",") + ", drawn as it lies"
	}
	d.Text(x, 50*pixel, textSize, svg.Left, size, "")
	scale := "Drawn to scale, across as along."
	if d.f.times > 1 {
		scale = fmt.Sprintf("Drawn to scale, across %d times as large as along.", d.f.times)
	}
	d.Text(pageWidth-x, 50*pixel, textSize, svg.Right, scale, "")
	d.broken()
	// The leading end reaches the blades first.
	ax, ay := d.f.x(0), d.f.top-16*pixel
	d.Path(fmt.Sprintf("M%s %sl%s -%sv%sZ", ax, ay, 12*pixel, 5*pixel, 10*pixel), `fill="#000000"`)
	leads := "leading end, first to the blades"
	if d.plan.Turn.Edges() {
		leads += "; the edge at the fence was the far one when scanned"
	}
	d.Text(ax+18*pixel, ay, smallSize, svg.Left, leads, "")
	if d.plan.Turn.Ends() {
		d.Text(d.f.x(d.board.Length), ay, smallSize, svg.Right, "led when scanned", "")
	}
}

// face says which face of a turned board is up: the same one if both its ends and its
// edges changed places.
var face = map[bool]string{true: " the same face up,", false: " the other face up,"}

func (d *drawing) broken() {
	n := len(d.o.Broken)
	if n == 0 {
		return
	}
	const x = 24 * pixel
	y := 84 * pixel
	rows := px(min(n, mostBroken) + 1)
	d.Rect(x-8*pixel, y-lineHeight/2-5*pixel, pageWidth-2*x+16*pixel, rows*lineHeight+10*pixel, `fill="#fff1ee" stroke="#9c1f12" stroke-width="2"`)
	first := "This setting breaks rules of the saw. Do not saw by it."
	if n > mostBroken {
		first += fmt.Sprintf(" The first %d of %d:", mostBroken, n)
	}
	d.Text(x, y, textSize, svg.Left, first, `font-weight="bold"`)
	for i := range min(n, mostBroken) {
		y += lineHeight
		d.Text(x, y, textSize, svg.Left, svg.Fitted(said(d.o.Broken[i]), textSize, pageWidth-2*x), "")
	}
}

// said says what breaks a rule, with blades counted from 1 as in the picture.
func said(f fault.Fault) string {
	name, i := f.Path, 0
	switch _, err := fmt.Sscanf(f.Path, "blades_mm[%d]", &i); {
	case err == nil:
		name = fmt.Sprintf("blade %d", i+1)
	case f.Path == "fence_mm":
		name = "fence"
	case f.Path == "skew_mm_per_m":
		name = "skew"
	case f.Path == "turn":
		name = "the board's turn"
	}
	return name + " " + f.Says
}

// perRow is how many entries of the legend share a row.
const perRow = 3

// itemsUsed lists the items in the plan, by index, in order.
func (d *drawing) itemsUsed() (all []int) {
	for i := range d.marks {
		if d.marks[i] != nil {
			all = append(all, i)
		}
	}
	return all
}

func legendRows(d *drawing) int {
	return (len(d.itemsUsed())+perRow-1)/perRow + (len(d.wasteUsed())+perRow-1)/perRow
}

// made is how many strips of an item a plan has, and their total length.
func (d *drawing) made(item int) (strips, pieces int, counted unit.Run) {
	for i := range d.plan.Pockets {
		if k := &d.plan.Pockets[i]; k.Item == item {
			strips, pieces, counted = strips+1, pieces+len(k.Pieces), counted+k.Counted
		}
	}
	return strips, pieces, counted
}

// swatch is an entry of the legend for what is no strip.
type swatch struct{ name, style string }

// wasteUsed lists what the picture shows besides strips, with its amount.
func (d *drawing) wasteUsed() (all []swatch) {
	a := &d.plan.Account
	add := func(name, style string, area unit.Area) {
		if area > 0 {
			all = append(all, swatch{name + ", " + d.o.Units.Area(area.SquareMetres()), style})
		}
	}
	add("edging", `fill="url(#edging)"`, a.Edging)
	add("offcut", `fill="url(#offcut)"`, a.Offcut)
	add("end trim", `fill="url(#endtrim)"`, a.EndTrim)
	add("lost to crosscutting", `fill="url(#loss)"`, a.CrosscutLoss)
	add("kerf", `fill="#000000"`, a.Kerf)
	if kinds := d.kinds(); kinds != "" {
		all = append(all, swatch{"defects: " + kinds, `fill="#ffffff" stroke="#9c1f12" stroke-width="1.8"`})
	}
	return all
}

// kinds numbers the kinds of defects on the board in the order in which they appear.
func (d *drawing) kinds() (all string) {
	number := d.kindNumbers()
	for _, k := range d.board.Defects {
		if n, ok := number[k.Kind]; ok {
			if all != "" {
				all += ", "
			}
			all += fmt.Sprintf("%d %s", n, k.Kind)
			delete(number, k.Kind)
		}
	}
	return all
}

func many(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// legend names the items by their letters, and the hatches.
func (d *drawing) legend() {
	const x, wide, high = 24 * pixel, 408 * pixel, lineHeight + 2*pixel
	y := d.f.legend
	cell := func(n int) (px, px) { return x + px(n%perRow)*wide, y + px(n/perRow)*high }
	used := d.itemsUsed()
	for n, i := range used {
		cx, cy := cell(n)
		it := &d.p.Items[i]
		d.fill(d.marks[i], svg.Box(cx, cy-8*pixel, 30*pixel, 16*pixel))
		strips, pieces, counted := d.made(i)
		says := fmt.Sprintf(", %s, %s", many(strips, "strip"), d.o.Units.Lineal(counted.Metres()))
		if len(it.Cuts) > 0 {
			says += ", " + many(pieces, "piece")
		}
		room := wide - 46*pixel - svg.WidthOf(d.marks[i].Letter+": "+says, textSize)
		d.Text(cx+38*pixel, cy, textSize, svg.Left, d.marks[i].Letter+": "+svg.Fitted(it.ID, textSize, room)+says, "")
	}
	y += px((len(used)+perRow-1)/perRow) * high
	for n, s := range d.wasteUsed() {
		cx, cy := cell(n)
		d.Rect(cx, cy-8*pixel, 30*pixel, 16*pixel, s.style)
		d.Text(cx+38*pixel, cy, textSize, svg.Left, svg.Fitted(s.name, textSize, wide-46*pixel), "")
	}
	note := "Thick outline: wane, trimmed to the broken line. Numbers on the right: where blades and fence stand on the arbor."
	d.Text(x, d.f.height-20*pixel, smallSize, svg.Left, note+" A plan is advice: the machine's safeguards decide.", `fill="#333333"`)
}
