package broad

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
)

// widths draws the saw's kerf and gaps and the fixed widths, without values. One in ten
// widths is wide.
func (d *draw) widths(s *saw.Saw) {
	d.cutting(s)
	n, _ := strconv.Atoi(d.Widths)
	tolerance := 0.0
	if d.chance(0.2) {
		tolerance = d.between(0.2, 1)
	}
	seen := map[int64]bool{}
	for len(d.Problem.Items) < n {
		v := d.between(26, 120)
		if d.chance(0.1) {
			v = d.between(100, 250)
		}
		w := max(d.coarse(v), s.Gap)
		if seen[int64(w)] {
			continue
		}
		seen[int64(w)] = true
		d.Problem.Items = append(d.Problem.Items, order.Item{ID: fmt.Sprint("w", len(d.Problem.Items)), Min: w, Max: w,
			LeastLength: length(d.between(300, 1200)), Tolerance: length(tolerance)})
	}
}

// values gives each width its value.
func (d *draw) values() {
	items := d.Problem.Items
	switch d.Values {
	case "equal":
		v := int64(16+d.IntN(13)) * 500_000
		for i := range items {
			items[i].Value = v
		}
	case "planned":
		for i, v := range d.planned() {
			items[i].Value = v
		}
	default: // a price list: by area, by length or by piece, in halves or whole cents
		by := []order.Basis{order.PerArea, order.PerArea, order.PerArea, order.PerLength, order.PerPiece}[d.IntN(5)]
		for i := range items {
			it := &items[i]
			it.Basis, it.Value = by, int64(16+d.IntN(13))*500_000
			switch by {
			case order.PerLength:
				it.Value = int64(float64(it.Value)*it.Min.MM()/1000/10_000) * 10_000
			case order.PerPiece:
				it.Value = int64(float64(it.Value)*it.Min.MM()/1000*d.length/1000/10_000) * 10_000
			case order.PerArea:
			}
		}
	}
}

// perArea is the approximate value of an item per square metre, in millionths.
func (d *draw) perArea(it *order.Item) float64 {
	switch it.Basis {
	case order.PerLength:
		return float64(it.Value) / it.Min.MM() * 1000
	case order.PerPiece:
		return float64(it.Value) / it.Min.MM() * 1000 / d.length * 1000
	case order.PerArea:
	}
	return float64(it.Value)
}

// random adds a range, worth less by area than the widths, about the same, or more.
func (d *draw) random() {
	if d.Range == "none" {
		return
	}
	sum := 0.0
	for i := range d.Problem.Items {
		sum += d.perArea(&d.Problem.Items[i])
	}
	mean := sum / float64(len(d.Problem.Items))
	switch d.Range {
	case "less":
		mean *= d.between(0.4, 0.75)
	case "same":
		mean *= d.between(0.95, 1.03)
	default:
		mean *= d.between(1.1, 1.4)
	}
	lo := max(d.coarse(d.between(35, 60)), d.Problem.Saw.LeastStrip)
	d.Problem.Items = append(d.Problem.Items, order.Item{ID: "panel", Min: lo, Max: lo + d.coarse(d.between(30, 90)), Random: true,
		Value: int64(mean), LeastLength: length(d.between(300, 900))})
}

// crosscut gives an item six lengths, with about the worth of the whole strip.
func (d *draw) crosscut(it *order.Item) {
	if it.Random {
		return
	}
	perMetre := d.perArea(it) * it.Min.MM() / 1000
	it.Value, it.Basis, it.LeastLength = 0, order.PerArea, 0
	it.CutKerf, it.EndTrim = 4*mm, length(float64(d.IntN(15)))
	for k := range 6 {
		l := 320 + k*210 + d.IntN(120)
		it.Cuts = append(it.Cuts, order.Cut{Length: length(float64(l)), Value: int64(perMetre * float64(l) / 1000 * d.between(0.9, 1.1)),
			Limited: k%2 == 0, Required: int64(1 + d.IntN(6))})
	}
}

// caps draws how much of each item is still open.
func (d *draw) caps() {
	items := d.Problem.Items
	switch d.Caps {
	case "two":
		for _, i := range d.Perm(len(items))[:2] {
			d.open(&items[i], d.between(0.3, 1))
		}
	case "each": // less than one strip is open
		for i := range items {
			d.open(&items[i], d.between(0.2, 1))
		}
	case "last": // full, less than a strip, some strips, plenty
		for i := range items {
			d.open(&items[i], [...]float64{0, d.between(0.02, 1), d.between(1, 4), 1000}[d.IntN(4)])
		}
		if !slices.ContainsFunc(items, func(it order.Item) bool { open, is := it.Open(); return open > 0 || !is }) {
			d.open(&items[d.IntN(len(items))], d.between(0.02, 1))
		}
	}
}

// open leaves a number of strips of an item open: widths by length, one in ten by pieces,
// the range by area.
func (d *draw) open(it *order.Item, strips float64) {
	of := d.length * 1000 // micrometres
	it.Measure = order.ByLength
	switch {
	case it.Random:
		it.Measure = order.ByArea
		of *= it.Min.MM() * 1000
	case len(it.Cuts) == 0 && d.chance(0.1):
		it.Measure, of = order.ByPieces, 1
		if d.chance(0.5) {
			it.PieceLength = length(d.between(300, 700))
			of = max(1, d.length/it.PieceLength.MM())
		}
		if strips > 0 {
			strips = max(strips, 1)
		}
	}
	it.Made = int64(d.between(0, 50) * of)
	it.Required = it.Made + int64(strips*of)
}
