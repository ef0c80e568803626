package picture

import (
	"bytes"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/svgtest"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/svg"
)

var boxPath = regexp.MustCompile(`M([-\d.]+) ([-\d.]+)h([-\d.]+)v([-\d.]+)h`)

// boxes gives x, y, width and height of all strips and pieces.
func boxes(t *testing.T, all []svgtest.Element) (out [][4]float64) {
	t.Helper()
	for _, e := range all {
		if e.Name != "path" || e.Attr["stroke"] != "#1c1c1c" {
			continue
		}
		for _, m := range boxPath.FindAllStringSubmatch(e.Attr["d"], -1) {
			var b [4]float64
			for i := range b {
				v, err := strconv.ParseFloat(m[i+1], 64)
				if err != nil {
					t.Fatal(err)
				}
				b[i] = v
			}
			out = append(out, b)
		}
	}
	return out
}

// Strips and kerfs lie where the plan has them: measured in the picture with its stated
// scale and the board's ends, within a tenth of a pixel.
func TestToScale(t *testing.T) {
	for name, c := range cases(t) {
		all := svgtest.Parse(t, Draw(&c.p, c.plan, c.o))
		var fence, wood svgtest.Element
		var kerfs []svgtest.Element
		for _, e := range all {
			switch {
			case e.Attr["fill"] == "#5b6670":
				fence = e
			case e.Attr["fill"] == "url(#edging)" && e.Attr["height"] != "16":
				wood = e
			case e.Attr["fill"] == "#000000" && e.Name == "rect" && e.Attr["height"] != "16":
				kerfs = append(kerfs, e)
			}
		}
		times := 1.0
		for _, e := range all {
			if _, rest, ok := strings.Cut(e.Text, "across "); ok && e.Name == "text" && strings.Contains(rest, " times") {
				times, _ = strconv.ParseFloat(strings.Fields(rest)[0], 64)
			}
		}
		face, end := fence.Number(t, "y"), wood.Number(t, "x")
		along := wood.Number(t, "width") / c.p.Board.Length.MM()
		across := along * times
		near := func(what string, got, want float64) {
			t.Helper()
			// An end of the board may be off by a hundredth of a pixel, which the
			// factor makes larger.
			if math.Abs(got-want) > 0.02*(1+times) {
				t.Errorf("%s: %s at %.2f, want %.2f", name, what, got, want)
			}
		}
		if len(kerfs) != len(c.plan.Blades) {
			t.Fatalf("%s: %d kerfs, want %d", name, len(kerfs), len(c.plan.Blades))
		}
		for i, e := range kerfs {
			y := (c.plan.Blades[i] - c.plan.Fence).MM()
			near("lower face of a kerf", e.Number(t, "y")+e.Number(t, "height"), face-y*across)
			near("upper face of a kerf", e.Number(t, "y"), face-(y+c.p.Saw.Kerf.MM())*across)
		}
		strips, drawn := 0, boxes(t, all)
		for _, k := range c.plan.Pockets {
			if k.Item == rip.None || len(c.p.Items[k.Item].Cuts) > 0 {
				continue
			}
			for _, r := range k.Runs {
				found := false
				for _, b := range drawn {
					found = found || math.Abs(b[0]-end-r.From.MM()*along) < 0.05 &&
						math.Abs(b[2]-r.Length().MM()*along) < 0.05 &&
						math.Abs(b[1]-(face-k.Right.MM()*across)) < 0.02*(1+times) &&
						math.Abs(b[3]-k.Width().MM()*across) < 0.02*(1+times)
				}
				if !found {
					t.Errorf("%s: nothing is drawn where a strip of %s lies", name, c.p.Items[k.Item].ID)
				}
				strips++
			}
		}
		if strips == 0 && name != "none" && name != "broken" && name != "flawed" {
			t.Errorf("%s: the plan has no strip, so nothing was tried", name)
		}
	}
}

// No two texts touch, none leaves the page, and none is too small to read.
func TestTextsDoNotOverlap(t *testing.T) {
	all := cases(t)
	for name, c := range extremes(t) {
		all[name] = c
	}
	for name, c := range all {
		type box struct{ x0, y0, x1, y1 float64 }
		var boxes []box
		var texts []string
		elements := svgtest.Parse(t, Draw(&c.p, c.plan, c.o))
		w, h := elements[0].Number(t, "width"), elements[0].Number(t, "height")
		for _, e := range elements {
			if e.Name != "text" {
				continue
			}
			size := e.Number(t, "font-size")
			if size < 10 {
				t.Errorf("%s: %q is %g pixels high", name, e.Text, size)
			}
			wide := float64(svg.WidthOf(e.Text, px(size*100))) / 100 * 0.93 // the estimate is rather too wide
			if e.Attr["font-weight"] == "bold" {
				wide *= 1.15
			}
			x, y := e.Number(t, "x"), e.Number(t, "y")
			switch svg.Anchor(e.Attr["text-anchor"]) {
			case svg.Middle:
				x -= wide / 2
			case svg.Right:
				x -= wide
			}
			b := box{x, y - 0.75*size, x + wide, y + 0.2*size}
			if b.x0 < 0 || b.y0 < 0 || b.x1 > w || b.y1 > h {
				t.Errorf("%s: %q leaves the page", name, e.Text)
			}
			for i, o := range boxes {
				if b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 {
					t.Errorf("%s: %q lies over %q", name, e.Text, texts[i])
				}
			}
			boxes, texts = append(boxes, b), append(texts, e.Text)
		}
	}
}

// Equal problems give equal pictures.
func TestDrawnTwice(t *testing.T) {
	again, err := solveCases()
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range cases(t) {
		other := again[name]
		if !bytes.Equal(Draw(&c.p, c.plan, c.o), Draw(&other.p, other.plan, other.o)) {
			t.Errorf("%s is drawn differently the second time", name)
		}
	}
}

// A picture contains what it has to show.
func TestShows(t *testing.T) {
	all := cases(t)
	for name, want := range map[string][]string{
		"plain":  {"A: stile, 66.6 mm x 2.400 m", "blade 3", "290.6 mm", "fence", "153.6 mm", "edging, 0.215 m2"},
		"long":   {"C: nailer, 1-1/2 in x ", "13.083 in", "end trim, 0.07 sq ft", "lineal ft"},
		"flawed": {"A, 0.450 m", "lost to crosscutting", "defects: 1 knot, 2 split, 3 sound_knot", "8 pieces"},
		"skewed": {"set at a skew of -5.3 mm per m, drawn as it lies"},
		"short":  {"near edge straight", "across 2 times as large as along."},
		"broken": {"Do not saw by it.", "blade 1 is 151; this blade is fixed at 150", "fence is 100.05; stops are"},
	} {
		var said []string
		c := all[name]
		for _, e := range svgtest.Parse(t, Draw(&c.p, c.plan, c.o)) {
			said = append(said, e.Text)
		}
		text := strings.Join(said, "\n")
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not say %q:\n%s", name, w, text)
			}
		}
	}
}

// Whatever a board or an item is called, the picture stays a picture.
func TestHostileNames(t *testing.T) {
	c := cases(t)["flawed"]
	bad := "</text><script>alert(1)</script>\"'&\x00\x1b\uFFFE " + strings.Repeat("木", 120)
	c.o.Board, c.o.Broken = bad, fault.List{{Path: bad, Says: bad}}
	c.p.Items, c.p.Board.Defects = slices.Clone(c.p.Items), slices.Clone(c.p.Board.Defects)
	c.p.Items[0].ID = bad
	c.p.Board.Defects[0].Kind = bad
	for _, e := range svgtest.Parse(t, Draw(&c.p, c.plan, c.o)) {
		if e.Name == "script" {
			t.Error("a name became an element")
		}
	}
}
