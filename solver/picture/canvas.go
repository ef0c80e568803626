package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
)

// px is a place or a size in hundredths of a pixel.
type px int64

// pixel is one of them.
const pixel px = 100

// String writes it as SVG does, without needless zeros.
func (p px) String() string {
	sign := ""
	if p < 0 {
		sign, p = "-", -p
	}
	text := fmt.Sprintf("%s%d.%02d", sign, p/pixel, p%pixel)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// canvas writes SVG elements.
type canvas struct{ out bytes.Buffer }

func (c *canvas) element(name, text string) {
	fmt.Fprintf(&c.out, "<%s>%s</%s>\n", name, escaped(text), name)
}

func (c *canvas) rect(x, y, w, h px, style string) {
	fmt.Fprintf(&c.out, `<rect x="%s" y="%s" width="%s" height="%s" %s/>`+"\n", x, y, max(w, 0), max(h, 0), style)
}

// tick draws a line of a rule.
func (c *canvas) tick(x1, y1, x2, y2 px) {
	fmt.Fprintf(&c.out, `<line x1="%s" y1="%s" x2="%s" y2="%s" stroke="#111111" stroke-width="1.2"/>`+"\n", x1, y1, x2, y2)
}

// box is a rectangle as a part of a path: a strip may have a thousand runs.
func box(x, y, w, h px) string {
	return fmt.Sprintf("M%s %sh%sv%sh%sZ", x, y, w, h, -w)
}

func (c *canvas) path(d, style string) {
	fmt.Fprintf(&c.out, `<path d="%s" %s/>`+"\n", d, style)
}

// anchor is which end of a text stands at its place.
type anchor string

const (
	left   anchor = "start"
	middle anchor = "middle"
	right  anchor = "end"
)

// text writes a line of text whose middle height is at y.
func (c *canvas) text(x, y, size px, at anchor, s, style string) {
	// A third of the size below the middle is where letters stand.
	fmt.Fprintf(&c.out, `<text x="%s" y="%s" font-size="%s" text-anchor="%s" %s>%s</text>`+"\n",
		x, y+size*35/100, size, at, style, escaped(s))
}

// escaped makes text safe in XML; what no XML may hold becomes U+FFFD.
func escaped(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return b.String()
}

// widthOf estimates how wide a text is, on the wide side: which font a viewer
// has is not known.
func widthOf(s string, size px) px {
	w := px(0)
	for _, r := range s {
		switch {
		case r >= 0x2e80: // ideographs and the like are square
			w += 100
		case strings.ContainsRune("il.,:;'|! ", r):
			w += 36
		case strings.ContainsRune("mwMW@%", r):
			w += 98
		default:
			w += 65
		}
	}
	return w * size / 100
}

// boldRoom is how much of a room's hundred a bold text's estimate may take.
const boldRoom = 84

// fitted cuts a text to a width and says so by an ellipsis.
func fitted(s string, size, room px) string {
	if widthOf(s, size) <= room {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && widthOf(string(r)+"...", size) > room {
		r = r[:len(r)-1]
	}
	return string(r) + "..."
}
