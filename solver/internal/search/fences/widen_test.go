package fences_test

import (
	"math/rand"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Widen gives a problem an arbor that Serves accepts: fixed blades, some between two
// stops, and moving ones on either side of them and between.
func Widen(p *oracle.Problem, seed int64) {
	r := rand.New(rand.NewSource(seed * 104729))
	p.Saw.Skew = 0
	p.Saw.Rerip = saw.Rerip{}
	for i := range p.Items {
		it := &p.Items[i]
		if it.Value == 0 && len(it.Cuts) == 0 {
			it.Value = int64(1+r.Intn(6)) * 250_000
		}
		if r.Intn(2) == 0 { // so that it fits some pocket
			it.Random, it.Min, it.Max, it.Joint, it.Tolerance = true, p.Saw.LeastStrip, p.Saw.LeastStrip+unit.Length(r.Intn(50))*unit.Millimetre, 0, 0
		}
		if r.Intn(2) == 0 {
			it.GreatestLength, it.LeastLength = 0, it.LeastLength/4
		}
	}
	p.Saw.Kerf = max(p.Saw.Kerf, unit.Millimetre)
	stops := 9
	if r.Intn(12) == 0 { // fine enough for ranges of many widths
		p.Saw.Step, stops = unit.Millimetre, 22
	}
	step := p.Saw.Step
	left, fixed, right := r.Intn(3), 1+r.Intn(2), r.Intn(3)
	if left+right == 0 {
		right = 2
	}
	if r.Intn(4) == 0 { // all move
		left, fixed, right = 0, 0, left+right+r.Intn(2)
	}
	mixed := fixed > 0 && r.Intn(2) == 0 // some move between fixed ones
	if mixed {
		fixed += 1 + r.Intn(3)
	}
	for i := range p.Items {
		if it := &p.Items[i]; it.Random && r.Intn(2) == 0 {
			it.Max += unit.Length(r.Intn(30)) * unit.Millimetre
		}
	}
	at := p.Saw.Fence.Min + unit.Length(r.Intn(30)-5)*unit.Millimetre
	apart := p.Saw.Kerf + p.Saw.Gap
	p.Saw.Blades = nil
	for j := range left + fixed + right {
		at = unit.Length(unit.CeilDiv(int64(at), int64(step))) * step
		b := saw.Blade{At: at}
		if r.Intn(3) == 0 { // between two stops
			b.At += unit.Length(r.Int63n(int64(step/unit.Micrometre))) * unit.Micrometre
		}
		if j < left || j >= left+fixed || mixed && j > left && j < left+fixed-1 && r.Intn(3) > 0 {
			long := step * unit.Length(r.Intn(stops))
			b = saw.Blade{Moving: true, Travel: saw.Travel{Min: at, Max: at + long}}
			if r.Intn(4) == 0 {
				b.Travel.Min -= step * unit.Length(r.Intn(4))
			}
			b.Travel.Current = b.Travel.Min + unit.Length(r.Int63n(int64(b.Travel.Max-b.Travel.Min)+1))
			at += long * unit.Length(r.Intn(2))
		}
		p.Saw.Blades = append(p.Saw.Blades, b)
		at = max(at, b.At) + apart + unit.Length(r.Intn(30))*unit.Millimetre
	}
}
