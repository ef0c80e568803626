package chart

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/internal/svgtest"
	"github.com/ripwright/ripwright/solver/svg"
)

// number gives an attribute that is a coordinate or a size in a chart.
func number(t *testing.T, e svgtest.Element, name string) float64 {
	t.Helper()
	v := e.Number(t, name)
	if math.IsNaN(v) || math.Abs(v) > 1e5 {
		t.Fatalf("%s of %v: %v", name, e, v)
	}
	return v
}

// pages are invented charts, and the largest and most unusual ones.
func pages() map[string][]byte {
	fill := Lines{Title: "How the order fills", Note: "Mean of 39 runs, at every tenth of a run.", X: Axis{Says: "boards ripped"},
		Y: Axis{Says: "filled, %", From: 0, To: 100}}
	for i, name := range []string{"stile", "rail", "drawer side", "nailer", "panel stock, random width"} {
		l := Line{Name: name}
		for k := range 11 {
			l.Points = append(l.Points, Point{float64(k) * 28.9 / 10, min(100, float64(k*k)/float64(5-i)+float64(4*k))})
		}
		fill.Lines = append(fill.Lines, l)
	}
	cost := Lines{Title: "What the lumber costs", X: Axis{Says: "runs that cost no more, %", From: 0, To: 100}, Y: Axis{Says: "money"},
		Lines: []Line{{Name: "planned values", Points: []Point{{2.5, 551.4}, {5, 564.35}, {25, 577}, {75, 601}, {95, 622.48}, {97.5, 630}}}}}
	bars := Bars{Title: "Worth of a mean board", Axis: Axis{Says: "money a board"}, Bars: []Bar{
		{Name: "today", Says: "222.4 283.8 mm", Value: 7.604, Low: 7.604, High: 7.604, Shown: "7.604", Given: true},
		{Name: "suggestion 1", Says: "200.0 270.0 mm, 2 blades to move", Value: 9.699, Low: 9.307, High: 10.093, Shown: "9.699"},
		{Name: "all blades fixed", Says: "200.0 235.0 270.0 330.0 mm", Value: 2.538, Low: 1.943, High: 3.134, Shown: "2.538"}}}
	odd := Bars{Title: strings.Repeat("W", 300), Note: strings.Repeat("m", 400), Bars: []Bar{{Name: "</text><script>&\x00", Says: strings.Repeat("木", 200), Value: 0},
		{Name: "one"}, {Name: "below", Value: -3, Low: -4, High: -1}}}
	many := Lines{Title: "Many", X: Axis{Says: "x"}, Y: Axis{Says: "y"}}
	for i := range 100 {
		many.Lines = append(many.Lines, Line{Name: fmt.Sprint("item ", i), Points: []Point{{0, 0}, {1, float64(i % 3)}}})
	}
	flat := func(v float64) Lines {
		return Lines{Title: "Flat", X: Axis{Says: "x"}, Y: Axis{Says: "y"}, Lines: []Line{{Name: "one", Points: []Point{{v, v}}}, {Name: "none"}}}
	}
	return map[string][]byte{
		"quote": Draw("Order AC-2301 by planned values", fill, cost), "arbor": Draw("Arbors for saw creek", bars), "odd": Draw("<&>", odd),
		"many": Draw("Many", many), "flat": Draw("Flat", flat(0), flat(5), flat(1e12), flat(-1e-9)), "empty": Draw("Nothing", Lines{}, Bars{}), "none": Draw(""),
	}
}

// With RIPWRIGHT_PICTURES set to a folder the charts are written there for inspection.
func TestWriteCharts(t *testing.T) {
	dir := os.Getenv("RIPWRIGHT_PICTURES")
	if dir == "" {
		t.Skip("RIPWRIGHT_PICTURES names no folder")
	}
	for name, doc := range pages() {
		if err := os.WriteFile(filepath.Join(dir, "chart-"+name+".svg"), doc, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// No text leaves the page or covers another, and no name is read as markup.
func TestTexts(t *testing.T) {
	type box struct{ x0, y0, x1, y1 float64 }
	for name, doc := range pages() {
		var boxes []box
		var texts []string
		w, h := 0.0, 0.0
		for _, e := range svgtest.Parse(t, doc) {
			switch e.Name {
			case "svg":
				w, h = number(t, e, "width"), number(t, e, "height")
			case "script":
				t.Errorf("%s: a name became an element", name)
			case "path":
				if strings.Contains(e.Attr["d"], "NaN") {
					t.Errorf("%s: %v", name, e)
				}
			}
			if e.Name != "text" || e.Text == "" {
				continue
			}
			size := number(t, e, "font-size")
			wide := float64(svg.WidthOf(e.Text, px(size*100))) / 100 * 0.93 // the estimate is rather too wide
			if e.Attr["font-weight"] == "bold" {
				wide *= 1.15
			}
			x, y := number(t, e, "x"), number(t, e, "y")
			switch svg.Anchor(e.Attr["text-anchor"]) {
			case svg.Middle:
				x -= wide / 2
			case svg.Right:
				x -= wide
			}
			b := box{x, y - 0.75*size, x + wide, y + 0.2*size}
			if b.x0 < 0 || b.y0 < 0 || b.x1 > w || b.y1 > h || size < 10 {
				t.Errorf("%s: %.60q leaves the page, %v", name, e.Text, b)
			}
			for i, o := range boxes {
				if b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 {
					t.Errorf("%s: %.60q lies over %.60q", name, e.Text, texts[i])
				}
			}
			boxes, texts = append(boxes, b), append(texts, e.Text)
		}
		if again := pages()[name]; !bytes.Equal(doc, again) {
			t.Errorf("%s is drawn differently the second time", name)
		}
	}
}

var linePath = regexp.MustCompile(`[ML]([-\d.]+) ([-\d.]+)`)

// Points lie where the axes say, read back with the scale of two ticks of each axis.
func TestToScale(t *testing.T) {
	points := []Point{{0, 12}, {10, 31.5}, {20, 17}, {40, 88}}
	doc := Draw("t", Lines{X: Axis{Says: "x"}, Y: Axis{Says: "y"}, Lines: []Line{{Name: "l", Points: points}}})
	var across, up [][2]float64 // value, place
	var line string
	for _, e := range svgtest.Parse(t, doc) {
		if v, err := strconv.ParseFloat(e.Text, 64); err == nil && e.Name == "text" {
			if e.Attr["text-anchor"] == "middle" {
				across = append(across, [2]float64{v, number(t, e, "x")})
			} else {
				up = append(up, [2]float64{v, number(t, e, "y") - 0.35*12})
			}
		}
		if e.Attr["stroke-width"] == "2" && e.Attr["fill"] == "none" {
			line = e.Attr["d"]
		}
	}
	read := func(ticks [][2]float64, at float64) float64 {
		a, b := ticks[0], ticks[len(ticks)-1]
		return a[0] + (at-a[1])/(b[1]-a[1])*(b[0]-a[0])
	}
	found := linePath.FindAllStringSubmatch(line, -1)
	if len(found) != len(points) || len(across) < 4 || len(up) < 4 {
		t.Fatalf("%d points, %d and %d ticks", len(found), len(across), len(up))
	}
	for i, m := range found {
		x, _ := strconv.ParseFloat(m[1], 64)
		y, _ := strconv.ParseFloat(m[2], 64)
		if gx, gy := read(across, x), read(up, y); math.Abs(gx-points[i].X) > 0.01 || math.Abs(gy-points[i].Y) > 0.01 {
			t.Errorf("%v is drawn at %g, %g", points[i], gx, gy)
		}
	}
}

// A bar is as long as its value says, also below 0.
func TestBarsToScale(t *testing.T) {
	doc := Draw("t", Bars{Axis: Axis{Says: "v"}, Bars: []Bar{{Name: "a", Value: 3}, {Name: "b", Value: 6}, {Name: "c", Value: -2, Low: -3, High: -1}}})
	var wide []float64
	for _, e := range svgtest.Parse(t, doc) {
		if e.Attr["fill"] == "#b9cfe0" {
			wide = append(wide, number(t, e, "width"))
		}
	}
	if len(wide) != 3 || math.Abs(wide[1]-2*wide[0]) > 0.02 || math.Abs(wide[0]-1.5*wide[2]) > 0.02 {
		t.Errorf("bars of 3, 6 and -2 are %v long", wide)
	}
}

// Axes have few round numbers, whatever they count.
func TestTicks(t *testing.T) {
	for _, c := range []struct {
		from, to float64
		want     string
	}{{0, 100, "0 20 40 60 80 100"}, {0, 28.9, "0 5 10 15 20 25 30"}, {551.4, 630, "550 560 570 580 590 600 610 620 630"}, {0, 0.31, "0.00 0.05 0.10 0.15 0.20 0.25 0.30 0.35"},
		{-4, 9.7, "-4 -2 0 2 4 6 8 10"}, {0, 8e11, "0 1e+11 2e+11 3e+11 4e+11 5e+11 6e+11 7e+11 8e+11"}, {0, 0, "0.0 0.2 0.4 0.6 0.8 1.0"}} {
		s := Axis{}.scaled(0, 100*pixel, []float64{c.from, c.to})
		var got []string
		for _, v := range s.ticks() {
			got = append(got, s.show(v))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("from %g to %g: %s, want %s", c.from, c.to, strings.Join(got, " "), c.want)
		}
	}
}

// No two of twenty lines are drawn in the same way.
func TestLinesDiffer(t *testing.T) {
	seen := map[string]int{}
	for i := range 20 {
		s := styleOf(i)
		key := fmt.Sprint(s.dashes, s.shape) // without its colour
		if j, twice := seen[key]; twice {
			t.Errorf("lines %d and %d differ in nothing but colour", j, i)
		}
		seen[key] = i
	}
}

// An outcome outside its interval is marked by its shape, not by its place alone; trials
// and outcomes beyond every interval fit on the page.
func TestIntervals(t *testing.T) {
	in := Interval{Name: "a", Trials: []float64{4, 6}, Mean: 5, Low: 4, High: 6, Outcome: 5.5}
	out := in
	out.Outcome = 9
	filled := func(i Interval) int {
		return strings.Count(string(Draw("t", Intervals{Title: "x", Intervals: []Interval{i}})), `fill="#c2410c"`)
	}
	if filled(in) != 1 || filled(out) != 0 {
		t.Errorf("%d filled inside, %d outside", filled(in), filled(out))
	}
	doc := Draw("t", Intervals{Title: "x", Intervals: []Interval{in, out}})
	if !bytes.Equal(doc, Draw("t", Intervals{Title: "x", Intervals: []Interval{in, out}})) {
		t.Error("the same twice differs")
	}
	svgtest.Parse(t, doc)
	if !strings.Contains(string(doc), ">9<") {
		t.Error("the axis ends before an outcome")
	}
}
