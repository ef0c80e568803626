package main

import (
	"bytes"
	"fmt"
	"html"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// picture draws a plan to scale across the board, the length shortened: the
// fence at the bottom, strips shaded by whether they are used, kerfs black, what
// goes to waste hatched, so that it reads in grey as well.
func picture(b *ripwrightv1.Board, s *ripwrightv1.Saw, p *ripwrightv1.Plan) []byte {
	const (
		width  = 900.0
		margin = 70.0
		up     = 2.0 // points a mm across
	)
	top := 0.0
	for _, st := range b.GetStations() {
		top = max(top, st.GetFarMm())
	}
	height := top*up + 2*margin
	x := func(mm float64) float64 { return margin + mm/b.GetLengthMm()*(width-2*margin) }
	y := func(mm float64) float64 { return height - margin - mm*up }
	var d bytes.Buffer
	fmt.Fprintf(&d, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="sans-serif" font-size="13">`+"\n", width, height)
	d.WriteString(`<defs><pattern id="waste" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
		`<rect width="7" height="7" fill="#f4efe4"/><line x1="0" y1="0" x2="0" y2="7" stroke="#8a7f6a" stroke-width="1.5"/></pattern><clipPath id="wood"><path d="`)
	outline := wood(b, x, y)
	d.WriteString(outline + `"/></clipPath></defs>` + "\n" + `<rect width="100%" height="100%" fill="white"/>` + "\n")
	fmt.Fprintf(&d, `<text x="%.0f" y="24" font-size="16">Board %s, %.0f mm long: worth %.2f, yield %.1f %%</text>`+"\n",
		margin, html.EscapeString(b.GetBoardId()), b.GetLengthMm(), p.GetWorth(), 100*p.GetAccount().GetYield())
	fmt.Fprintf(&d, `<path d="%s" fill="url(#waste)" stroke="#333"/>`+"\n", outline)
	for _, k := range p.GetPockets() {
		for _, r := range k.GetRuns() {
			fmt.Fprintf(&d, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="#cfe3d4" stroke="#2f5d46"/>`+"\n",
				x(r.GetFromMm()), y(k.GetRightMm()), x(r.GetToMm())-x(r.GetFromMm()), k.GetWidthMm()*up)
		}
		if k.GetItemId() != "" {
			fmt.Fprintf(&d, `<text x="%.0f" y="%.1f" text-anchor="middle">%s  %.1f mm  %.2f m</text>`+"\n", width/2,
				y((k.GetLeftMm()+k.GetRightMm())/2)+4, html.EscapeString(k.GetItemId()), k.GetWidthMm(), k.GetCountedM())
		}
	}
	for i, at := range p.GetBladesMm() {
		low := at - p.GetFenceMm()
		fmt.Fprintf(&d, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="black" clip-path="url(#wood)"/>`+"\n",
			x(0), y(low+s.GetKerfMm()), width-2*margin, s.GetKerfMm()*up)
		if low > -margin/up && low < top+margin/up/2 {
			fmt.Fprintf(&d, `<text x="%.1f" y="%.1f">blade %d</text>`+"\n", width-margin+6, y(low)+2, i+1)
		}
	}
	fmt.Fprintf(&d, `<line x1="0" y1="%.1f" x2="%.0f" y2="%.1f" stroke="black" stroke-width="3"/>`+
		`<text x="6" y="%.1f">fence at %.1f mm</text>`+"\n", y(0)+2, width, y(0)+2, y(0)+20, p.GetFenceMm())
	d.WriteString("</svg>\n")
	return d.Bytes()
}

// wood gives the outline of the board.
func wood(b *ripwrightv1.Board, x, y func(float64) float64) string {
	st := b.GetStations()
	first, last := st[0], st[len(st)-1]
	d := fmt.Sprintf("M%.1f %.1f", x(0), y(first.GetNearMm()))
	for _, s := range st {
		d += fmt.Sprintf("L%.1f %.1f", x(s.GetXMm()), y(s.GetNearMm()))
	}
	d += fmt.Sprintf("L%.1f %.1fL%.1f %.1f", x(b.GetLengthMm()), y(last.GetNearMm()), x(b.GetLengthMm()), y(last.GetFarMm()))
	for i := len(st) - 1; i >= 0; i-- {
		d += fmt.Sprintf("L%.1f %.1f", x(st[i].GetXMm()), y(st[i].GetFarMm()))
	}
	return d + fmt.Sprintf("L%.1f %.1fZ", x(0), y(first.GetFarMm()))
}
