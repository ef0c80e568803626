package sequence

import "math/rand/v2"

// wander perturbs a course somewhere and improves it there again, until a fraction of the
// whole budget is spent, and continues from the result if that is no worse, or only a
// little (iterated local search: Lourenco, Martin and Stuetzle 2003).
func (f *finder) wander(until float64) {
	here, stands := append([]int(nil), f.path...), f.course.end()
	for !f.over() && f.spent() < until {
		f.t.work += int64(len(f.path))
		f.disturb()
		f.run(f.until)
		f.keep()
		if found := f.course.end(); !stands.less(&found) || f.bearable(found) {
			copy(here, f.path)
			stands = found
		} else {
			f.put(here)
		}
	}
	f.put(f.best)
	f.settle()
}

// bearable reports whether the search continues from a result that is worse than the
// best: a little later in all, or as late and done a little later.
func (f *finder) bearable(found label) bool {
	is, least := found.late, f.end.late
	if is == least {
		is, least = found.done, f.end.done
	}
	return float64(is-least) < tolerance*float64(least)*f.random.ExpFloat64()
}

// tolerance is how much worse than the best a result may be to continue from.
const tolerance = 0.0005

// longest is the greatest length of stretches that are exchanged at random.
const longest = 30

// disturb exchanges two adjacent stretches somewhere, or puts some orders elsewhere on
// any of their settings.
func (f *finder) disturb() {
	n := len(f.path)
	if n < 4 {
		f.look(0, n)
		return
	}
	if f.random.IntN(2) == 0 {
		a := f.random.IntN(n - 2)
		b := a + 1 + f.random.IntN(min(longest, n-a-2))
		d := b + 1 + f.random.IntN(min(longest, n-b))
		f.buffer[0], f.buffer[1] = piece{-1, b, d, false}, piece{-1, a, b, false}
		f.set(a, f.buffer[:2], d)
		for _, j := range []int{a, a + d - b, d} {
			f.look(j-2, j+2)
		}
		return
	}
	for range 2 {
		f.displace(f.random)
	}
}

// displace puts an order some places away.
func (c *climb) displace(random *rand.Rand) {
	n := len(c.path)
	i := random.IntN(n)
	of := c.t.of[c.t.states[c.path[i]].order]
	s := of[random.IntN(len(of))]
	j := min(max(i+random.IntN(41)-20, 0), n)
	if j <= i {
		c.buffer[0], c.buffer[1] = piece{state: s}, piece{-1, j, i, false}
		c.set(j, c.buffer[:2], i+1)
	} else {
		c.buffer[0], c.buffer[1] = piece{-1, i + 1, j, false}, piece{state: s}
		c.set(i, c.buffer[:2], j)
	}
	c.look(j-2, j+2)
	c.look(i-2, i+2)
}
