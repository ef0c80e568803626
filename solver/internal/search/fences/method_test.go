package fences_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/fences"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/svg"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

var update = flag.Bool("update", false, "draw the picture of the method anew")

const methodPicture = "../../../rip/method.svg"

// The picture beside the package comment of solver/rip is of a real solve.
func TestMethodPicture(t *testing.T) {
	const mm = unit.Millimetre
	b := wood.Board{Length: 2600 * mm, Stations: []wood.Station{
		{X: 0, Near: 6 * mm, Far: 361 * mm}, {X: 900 * mm, Near: 0, Far: 352 * mm}, {X: 1700 * mm, Near: 3 * mm, Far: 366 * mm}, {X: 2600 * mm, Near: 15 * mm, Far: 349 * mm}}}
	items := []order.Item{
		{ID: "stile", Min: 57 * mm, Max: 57 * mm, Value: 9_400_000, LeastLength: 600 * mm},
		{ID: "rail", Min: 72 * mm, Max: 72 * mm, Value: 9_900_000, LeastLength: 600 * mm},
		{ID: "panel", Min: 38 * mm, Max: 90 * mm, Random: true, Value: 7_900_000, LeastLength: 600 * mm},
	}
	s := saw.Saw{Kerf: 4 * mm, Step: mm / 2, Gap: 25 * mm, LeastStrip: 25 * mm, Fence: saw.Travel{Min: 20 * mm, Max: 220 * mm, Current: 100 * mm}}
	for j, c := range "MFFMM" {
		at := unit.Length([]int{150, 320, 381, 520, 650}[j]) * mm
		bl := saw.Blade{At: at}
		if c == 'M' {
			bl = saw.Blade{Moving: true, Travel: saw.Travel{Min: at - 400*mm, Max: at + 400*mm, Current: at}}
		}
		s.Blades = append(s.Blades, bl)
	}
	if !fences.Serves(&b, &s, items) {
		t.Fatal("the problem is not served")
	}
	m := model.New(&b, &s, items)
	d := fences.Draw(m, budget.New(budget.Limits{}))
	if r := fences.Solve(m, budget.New(budget.Limits{})); !r.Proven || r.Plan.Compare(d.Plan) != 0 {
		t.Fatalf("the picture is of %+v, and the best plan is %+v", d.Plan, r.Plan)
	}
	doc := method(m, d)
	if *update {
		if err := os.WriteFile(methodPicture, doc, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(methodPicture)
	if err != nil || !bytes.Equal(kept, doc) {
		t.Errorf("%s is of another solve (%v): draw it anew with -update and look at it", methodPicture, err)
	}
}

// sheet is the picture as it grows.
type sheet struct {
	svg.Canvas
	lo, hi int64 // heights across the board
}

const (
	px        = svg.Pixel
	wide      = 960 * px
	side      = 70 * px
	ink       = `fill="#1b1b1b"`
	nearInk   = `fill="none" stroke="#1f5f8b" stroke-width="1.6"`
	farInk    = `fill="none" stroke="#9a4d12" stroke-width="1.6"`
	faintLine = `fill="none" stroke="#8b8b8b" stroke-width="1" stroke-dasharray="4 4"`
)

func (c *sheet) across(y int64) svg.Px { return side + svg.Px(y-c.lo)*(wide-2*side)/svg.Px(c.hi-c.lo) }

func (c *sheet) heading(y svg.Px, n, what string) {
	c.Text(side, y, 15*px, svg.Left, n+"  "+what, ink+` font-weight="bold"`)
}

func line(from bool, x, y svg.Px) string {
	if from {
		return fmt.Sprintf("M%s %s", x, y)
	}
	return fmt.Sprintf("L%s %s", x, y)
}

func method(m *model.Model, d *fences.Sketch) []byte {
	c := &sheet{lo: m.WoodLo, hi: m.WoodHi}
	fmt.Fprintf(&c.Out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 960 870" font-family="Helvetica, Arial, 'DejaVu Sans', sans-serif">`+"\n")
	c.Element("title", "How the best plan of a board is found")
	c.Rect(0, 0, wide, 870*px, `fill="#ffffff"`)
	c.board(m, d, 50*px)
	c.tables(d, 270*px)
	c.layers(d, 480*px)
	c.stops(d, 640*px)
	c.Out.WriteString("</svg>\n")
	return c.Out.Bytes()
}

// board draws the board lying across, and the best plan.
func (c *sheet) board(m *model.Model, d *fences.Sketch, top svg.Px) {
	c.heading(top-20*px, "1", "The board, its near edge left, and the best plan; F: fixed blade, M: moving")
	const long = 130 * px
	at := func(x unit.Length) svg.Px { return top + svg.Px(x)*long/svg.Px(m.Board.Length) }
	p := ""
	for i, s := range m.Board.Stations {
		p += line(i == 0, c.across(int64(s.Near)), at(s.X))
	}
	for i := len(m.Board.Stations) - 1; i >= 0; i-- {
		s := m.Board.Stations[i]
		p += line(false, c.across(int64(s.Far)), at(s.X))
	}
	c.Path(p+"Z", `fill="#f6efe2" stroke="#4a3319" stroke-width="2"`)
	for k, w := range d.Plan.Wants {
		if w == model.None {
			continue
		}
		left, right := m.Pocket(d.Plan, k)
		c.Rect(c.across(left), top, c.across(right)-c.across(left), long, `fill="#b9d3bd" fill-opacity=".7" stroke="#2f5d3a" stroke-width="1"`)
		c.Text((c.across(left)+c.across(right))/2, top+long/2, 13*px, svg.Middle, fmt.Sprintf("%g mm", float64(right-left)/float64(unit.Millimetre)), ink)
	}
	for j, a := range d.Plan.Blades {
		y := a - d.Plan.Fence
		if y < c.lo || y > c.hi {
			continue
		}
		name := "M"
		if !m.Blades[j].Moving {
			name = "F"
		}
		c.Rect(c.across(y), top-8*px, c.across(y+m.Kerf)-c.across(y), long+16*px, `fill="#1b1b1b"`)
		c.Text(c.across(y+m.Kerf/2), top+long+18*px, 13*px, svg.Middle, name, ink)
	}
}

// tables draws what may lie beyond the outermost fixed blades.
func (c *sheet) tables(d *fences.Sketch, top svg.Px) {
	c.heading(top-20*px, "2", "Tables: the most that the moving blades can make beyond a fixed blade at each height")
	const high = 140 * px
	most := 0.0
	for _, e := range append(d.Near, d.Far...) {
		most = max(most, e.Worth)
	}
	for _, table := range []struct {
		of    []fences.Entry
		style string
		says  string
		at    svg.Px
		end   svg.Anchor
	}{{d.Near, nearInk, "blue: towards the near edge", wide - side, svg.Right}, {d.Far, farInk, "brown: towards the far edge", side, svg.Left}} {
		p, first := "", true
		for _, e := range table.of {
			if e.Y < c.lo || e.Y > c.hi {
				continue
			}
			p += line(first, c.across(e.Y), top+high-svg.Px(e.Worth/most*float64(high)))
			first = false
		}
		c.Path(p, table.style)
		c.Text(table.at, top+6*px, 13*px, table.end, table.says, ink)
	}
	c.Tick(side, top+high, wide-side, top+high)
	c.Text(side-6*px, top+high, 12*px, svg.Right, "0", ink)
	c.Text(side-6*px, top, 12*px, svg.Right, fmt.Sprintf("%.1f", most), ink)
}

// layers draws where the blades of best plans may stand beyond the fixed ones.
func (c *sheet) layers(d *fences.Sketch, top svg.Px) {
	c.heading(top-20*px, "3", "Layers: where these may stand in plans that reach the bound, ties and all; black: the best plan")
	const row = 30 * px
	rows := 0
	for _, e := range d.Layers {
		rows = max(rows, e.ToCome)
	}
	for k := rows; k >= 0; k-- {
		y := top + svg.Px(rows-k)*row + row/2
		c.Path(line(true, side, y)+line(false, wide-side, y), faintLine)
		c.Text(side-6*px, y, 12*px, svg.Right, fmt.Sprintf("%d to come", k), ink)
	}
	mark := func(e fences.Entry, wide svg.Px, style string) {
		if e.Y >= c.lo && e.Y <= c.hi {
			c.Rect(c.across(e.Y)-wide/2, top+svg.Px(rows-e.ToCome)*row+4*px, wide, row-8*px, style)
		}
	}
	for _, e := range d.Layers {
		style := `fill="#7fa8c4"`
		if !e.Near {
			style = `fill="#d69a66"`
		}
		mark(e, 2*px, style)
	}
	for _, e := range d.Layers {
		if slices.Contains(d.Plan.Blades, e.Y+d.Plan.Fence) {
			mark(e, 4*px, ink)
		}
	}
}

// stops draws the bound of each stop of the fence.
func (c *sheet) stops(d *fences.Sketch, top svg.Px) {
	c.heading(top-20*px, "4", fmt.Sprintf("Fence stops: the most that any plan can be worth at each of %d; %d scored exactly", len(d.Fences), d.Scored))
	const high = 160 * px
	best := d.Plan.Score.Worth.Money()
	n := len(d.Fences)
	at := func(t int) svg.Px { return side + svg.Px(t)*(wide-2*side)/svg.Px(n-1) }
	level := func(v float64) svg.Px { return top + high - svg.Px(v/best*float64(high)*0.9) }
	p := ""
	for t, v := range d.Bounds {
		p += line(t == 0, at(t), level(v))
		if d.Fences[t] == d.Plan.Fence {
			c.Path(line(true, at(t), top+high)+line(false, at(t), level(v)), `fill="none" stroke="#2f5d3a" stroke-width="3"`)
			c.Text(at(t), top+high+18*px, 13*px, svg.Middle, fmt.Sprintf("fence %g mm", float64(d.Plan.Fence)/float64(unit.Millimetre)), ink)
		}
	}
	c.Path(p, `fill="none" stroke="#5a3d7a" stroke-width="1.2"`)
	c.Path(line(true, side, level(best))+line(false, wide-side, level(best)), faintLine)
	c.Text(wide-side, level(best)-10*px, 13*px, svg.Right, fmt.Sprintf("the best plan: %.3f", best), ink)
	c.Tick(side, top+high, wide-side, top+high)
	for _, t := range []int{0, n - 1} {
		c.Text(at(t), top+high+18*px, 12*px, svg.Middle, fmt.Sprintf("%g", float64(d.Fences[t])/float64(unit.Millimetre)), ink)
	}
}
