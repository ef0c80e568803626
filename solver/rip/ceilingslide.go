package rip

import "unsafe"

// slide is a sliding window that moves down over a level's entries: those of which none
// further down in it is as great, the furthest up at head.
type slide struct {
	at    []int32
	worth []int64
	head  int
	next  int // entry that enters it next
	grown grown
}

// restart empties the slides.
func (c *ceiling) restart() {
	for i := range c.slides {
		v := &c.slides[i]
		v.at, v.worth, v.head, v.next = v.at[:0], v.worth[:0], 0, c.farFrom-1
	}
}

// slide lays strips of a random width that are clear from end to end. Their worth grows
// by the same amount from one width to the next, so the greatest entry of a sliding
// window counts.
func (c *ceiling) slide(in *instance, b block, d window, full []int64, v *slide) {
	w := &in.wants[d.want]
	base, each := c.up(w.worth(int64(d.lo)*in.step-in.kerf, w.full))-c.toll(in, w, w.full), int64(0)
	if w.byWidth() {
		each = c.up(in.slope(w, w.full))
	}
	c.tick(int64(b.to-b.from)/stride + 1)
	for j := min(c.farFrom-d.lo, b.to) - 1; j >= max(c.nearN, b.from); j-- {
		for ; v.next >= j+d.lo; v.next-- {
			g := full[v.next] + int64(v.next)*each
			n := len(v.at)
			for n > v.head && v.worth[n-1] <= g {
				n--
			}
			v.grown.to(c.budget, n+1, unsafe.Sizeof(v.at[0])+unsafe.Sizeof(v.worth[0]))
			v.at, v.worth = append(v.at[:n], int32(v.next)), append(v.worth[:n], g)
		}
		for int(v.at[v.head]) > j+d.hi {
			v.head++
		}
		b.l[j] = max(b.l[j], base+v.worth[v.head]-int64(j+d.lo)*each)
	}
}
