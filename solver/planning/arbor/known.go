package arbor

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// MostKnown bounds the bytes of settings that are known again. Beyond it they are
// forgotten, and scored again where the search comes back to them.
const MostKnown = 16 << 20

// know remembers what a setting comes to.
func (c *scorer) know(key string, s *Scored) {
	const beside = 400 // a Scored, its sum, and their place in the map
	if c.held += beside + 2*len(key); c.held > MostKnown/2 {
		clear(c.known)
		c.held = beside + 2*len(key)
	}
	c.known[key] = s
}

// keep remembers what single boards are worth for the best settings alone, and of those
// that are alike for the best one.
func (c *scorer) keep(s *Scored) {
	at, known := slices.BinarySearchFunc(c.top, s, better)
	if known { // it was forgotten, and is no other setting
		return
	}
	for _, other := range c.top[:at] {
		if c.alike(s, other) {
			s.each = nil
			return
		}
	}
	after := slices.DeleteFunc(slices.Clone(c.top[at:]), func(other *Scored) bool {
		if c.alike(s, other) {
			other.each = nil
			return true
		}
		return false
	})
	c.top = append(append(c.top[:at], s), after...)
	if n := len(c.top) - 1; n >= c.most {
		c.top[n].each = nil
		c.top = c.top[:n]
	}
}

// differ is by how much some pocket of two settings has to differ for both to be worth
// suggesting, where spacers allow as little.
const differ = 3 * unit.Millimetre

// alike reports whether two settings are the same but for where they begin, or nearly.
func (c *scorer) alike(a, b *Scored) bool {
	if len(a.Fixed) != len(b.Fixed) {
		return false
	}
	for i := 1; i < len(a.Fixed); i++ {
		d := a.Fixed[i] - a.Fixed[i-1] - b.Fixed[i] + b.Fixed[i-1]
		if max(d, -d) >= max(differ, c.p.Spacers.Increment) {
			return false
		}
	}
	return true
}

// way is how far blades go from one setting to another, added up; blades that are put
// on or taken off go no way.
func way(from, to []unit.Length) (sum unit.Length) {
	for i := range min(len(from), len(to)) {
		sum += max(from[i]-to[i], to[i]-from[i])
	}
	return sum
}

// better puts the setting worth more first; among equals that for which fewer blades are
// moved, then that for which they go less far, then that nearest to the datum.
func better(a, b *Scored) int {
	if d := b.exact.Cmp(a.exact); d != 0 {
		return d
	}
	return cmp.Or(cmp.Compare(a.Moved, b.Moved), cmp.Compare(a.way, b.way), slices.Compare(a.Fixed, b.Fixed))
}

func appendKey(b []byte, at []unit.Length) []byte {
	for _, a := range at {
		for i := range 8 {
			b = append(b, byte(a>>(8*i)))
		}
	}
	return b
}
