// Package svg writes SVG elements. Coordinates are whole hundredths of a pixel, so equal
// drawings are equal byte for byte on every machine.
package svg

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Px is a coordinate or a size in hundredths of a pixel.
type Px int64

// Pixel is one pixel.
const Pixel Px = 100

// String formats it as SVG does, without trailing zeros.
func (p Px) String() string { return string(p.Append(nil)) }

// Append is String for long paths: an edge of a board has thousands of points.
func (p Px) Append(to []byte) []byte {
	if p < 0 {
		to, p = append(to, '-'), -p
	}
	to = strconv.AppendInt(to, int64(p/Pixel), 10)
	switch rest := byte(p % Pixel); {
	case rest == 0:
	case rest%10 == 0:
		to = append(to, '.', '0'+rest/10)
	default:
		to = append(to, '.', '0'+rest/10, '0'+rest%10)
	}
	return to
}

// Canvas is a drawing in progress. The zero value is empty.
type Canvas struct{ Out bytes.Buffer }

// Element writes an element that holds only text.
func (c *Canvas) Element(name, text string) {
	fmt.Fprintf(&c.Out, "<%s>%s</%s>\n", name, Escaped(text), name)
}

// Rect draws a rectangle; style are its other attributes.
func (c *Canvas) Rect(x, y, w, h Px, style string) {
	fmt.Fprintf(&c.Out, `<rect x="%s" y="%s" width="%s" height="%s" %s/>`+"\n", x, y, max(w, 0), max(h, 0), style)
}

// Tick draws a tick of a scale.
func (c *Canvas) Tick(x1, y1, x2, y2 Px) {
	fmt.Fprintf(&c.Out, `<line x1="%s" y1="%s" x2="%s" y2="%s" stroke="#111111" stroke-width="1.2"/>`+"\n", x1, y1, x2, y2)
}

// Box gives a rectangle as part of a path: a strip may have a thousand runs.
func Box(x, y, w, h Px) string {
	return fmt.Sprintf("M%s %sh%sv%sh%sZ", x, y, w, h, -w)
}

// Path draws a path.
func (c *Canvas) Path(d, style string) {
	fmt.Fprintf(&c.Out, `<path d="%s" %s/>`+"\n", d, style)
}

// Anchor is the end of a text that is placed at its x.
type Anchor string

// The anchors.
const (
	Left   Anchor = "start"
	Middle Anchor = "middle"
	Right  Anchor = "end"
)

// Text writes a line of text, vertically centred at y.
func (c *Canvas) Text(x, y, size Px, at Anchor, s, style string) {
	// The baseline is a third of the size below the middle.
	fmt.Fprintf(&c.Out, `<text x="%s" y="%s" font-size="%s" text-anchor="%s" %s>%s</text>`+"\n",
		x, y+size*35/100, size, at, style, Escaped(s))
}

// Escaped escapes text for XML; characters that XML does not allow become U+FFFD.
func Escaped(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer never fails
	return b.String()
}

// WidthOf estimates the width of a text, rather too wide, since the viewer's font is not
// known.
func WidthOf(s string, size Px) Px {
	w := Px(0)
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

// Fitted cuts a text to a width and ends it with an ellipsis.
func Fitted(s string, size, room Px) string {
	if WidthOf(s, size) <= room {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && WidthOf(string(r)+"...", size) > room {
		r = r[:len(r)-1]
	}
	return string(r) + "..."
}

// Spread moves labels apart to at least a gap, between from and to. Places are in rising
// order.
func Spread(places []Px, gap, from, to Px) []Px {
	out := slices.Clone(places)
	for i := range out {
		out[i] = max(out[i], from)
		if i > 0 {
			out[i] = max(out[i], out[i-1]+gap)
		}
	}
	for i := len(out) - 1; i >= 0; i-- {
		limit := to
		if i+1 < len(out) {
			limit = out[i+1] - gap
		}
		out[i] = min(out[i], limit)
	}
	return out
}
