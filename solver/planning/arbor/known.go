package arbor

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/unit"
)

// MostKnown limits the bytes of remembered scores. Beyond it they are forgotten, and
// settings are scored again if the search returns to them.
const MostKnown = 16 << 20

// know remembers the score of a setting.
func (c *scorer) know(key string, s *Scored) {
	const beside = 400 // a Scored, its sum, and their place in the map
	if c.held += beside + 2*len(key); c.held > MostKnown/2 {
		clear(c.known)
		c.held = beside + 2*len(key)
	}
	c.known[key] = s
}

// keep remembers what each board is worth for the best settings only, and among similar
// ones only for the best.
func (c *scorer) keep(s *Scored) {
	at, known := slices.BinarySearchFunc(c.top, s, better)
	if known { // it had been forgotten, and is no new setting
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

// differ is the least difference of some pocket for two settings to be both worth
// suggesting, if the spacers allow one this small.
const differ = 3 * unit.Millimetre

// alike reports whether two settings are the same, or nearly, except for their offset.
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

// way is the total distance that blades move from one setting to another; blades that are
// added or removed do not count.
func way(from, to []unit.Length) (sum unit.Length) {
	for i := range min(len(from), len(to)) {
		sum += max(from[i]-to[i], to[i]-from[i])
	}
	return sum
}

// better puts the setting worth more first; of equals the one with fewer blades moved,
// then the one with the shorter way, then the one nearest to the datum.
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
