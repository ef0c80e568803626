package layered

import "math"

// far stands for an impossible travel.
const far = int64(math.MaxInt64 / 8)

// axis is a blade that moves, in coordinates that rise outwards.
type axis struct{ lo, hi, current int64 }

// chain is blades in a row, each at least a distance from the one before, that must stand
// at or beyond a point and otherwise move as little as possible. The least travel of the
// last k of them, as a function of the place of the first of those, is convex, so each
// has an interval of best stops, and a point that pushes it beyond is its own best
// (isotonic regression in the absolute norm).
type chain struct {
	blades      []axis
	least, most []int64 // first and last best stop of a blade and those beyond it
	step        int64
	apart       []int64 // from each blade to the next one, at least
}

func newChain(blades []axis, step int64, apart []int64) *chain {
	c := &chain{blades: blades, step: step, apart: apart, least: make([]int64, len(blades)), most: make([]int64, len(blades))}
	for j := len(blades) - 1; j >= 0; j-- {
		c.least[j] = c.first(j, func(gain int64) bool { return gain >= 0 })
		c.most[j] = c.first(j, func(gain int64) bool { return gain > 0 })
	}
	return c
}

// first gives blade j's first stop from which a further step changes the travel enough.
func (c *chain) first(j int, enough func(int64) bool) int64 {
	b := &c.blades[j]
	lo, hi := int64(0), (b.hi-b.lo)/c.step
	for lo < hi {
		mid := (lo + hi) / 2
		x := b.lo + mid*c.step
		if enough(c.at(j, x+c.step) - c.at(j, x)) {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return b.lo + lo*c.step
}

// at is the travel of blade j at x and of those beyond it.
func (c *chain) at(j int, x int64) int64 {
	b := &c.blades[j]
	return max(x-b.current, b.current-x) + c.cost(len(c.blades)-j-1, c.next(j, x))
}

// next gives the least place of the blade after one at x.
func (c *chain) next(j int, x int64) int64 {
	if j < len(c.apart) {
		return x + c.apart[j]
	}
	return x
}

// cost is the least travel of the last k blades at or beyond a.
func (c *chain) cost(k int, a int64) (sum int64) {
	for j := len(c.blades) - k; j < len(c.blades); j++ {
		b := &c.blades[j]
		x := max(a, c.least[j])
		if x > b.hi {
			return far
		}
		sum += max(x-b.current, b.current-x)
		a = c.next(j, x)
	}
	return sum
}

// over is the least travel of the last k blades at or beyond a point that goes from a to b.
func (c *chain) over(k int, a, b int64) (sum ends) {
	if a == b {
		return alike(c.cost(k, a))
	}
	along := true // each stands where the point pushes it to, or at its best stop, over all of a to b
	for j := len(c.blades) - k; j < len(c.blades); j++ {
		x, y := max(a, c.least[j]), max(b, c.least[j])
		l := &c.blades[j]
		if x > l.hi {
			return farEnds
		}
		// It cannot be pushed beyond its last stop: at least its travel there.
		y = min(y, l.hi)
		along = x == y || along && a >= c.least[j] && b <= l.hi
		switch v := away(x, y, l.current); {
		case along || x == y:
			sum = sum.plus(v)
		default:
			sum = sum.plus(alike(v.least()))
		}
		a, b = c.next(j, x), c.next(j, y)
	}
	return sum
}

// place gives the stops of the last k blades at or beyond a at the least travel: of all
// such settings the one in which every blade stands nearest, or farthest.
func (c *chain) place(k int, a int64, farthest bool, put func(j int, x int64)) {
	for j := len(c.blades) - k; j < len(c.blades); j++ {
		x := c.least[j]
		if farthest {
			x = c.most[j]
		}
		x = max(a, x)
		put(j, x)
		a = c.next(j, x)
	}
}
