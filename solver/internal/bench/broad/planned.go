package broad

import "math"

// planned gives values by area as a planner would: those at which the order's widths are
// cut in the wanted shares, over boards of several widths. At them many ways to rip a
// board are worth nearly the same, which makes boards hard. They minimise the mean worth
// of the best plan, by multiplicative updates (Arora, Hazan and Kale, The multiplicative
// weights update method, 2012), on straight boards in whole units of 2 mm, by independent
// code: the measured search must not change what is drawn.
func (d *draw) planned() []int64 {
	items := d.Problem.Items
	n := len(items)
	k := &knapsack{kerf: d.Problem.Saw.Kerf.MM() / across, worth: make([]float64, n)}
	want := make([]float64, n)
	for i := range items {
		k.exact = append(k.exact, items[i].Min.MM())
		k.width = append(k.width, int(math.Ceil(items[i].Min.MM()/across)))
		want[i] = d.between(1, 10) * float64(k.width[i])
		k.worth[i] = items[i].Min.MM()
	}
	normalise(want)
	m := newCoarse(d)
	boards := []float64{d.width}
	for range 7 {
		boards = append(boards, d.width*d.between(0.7, 1.3))
	}
	mean := make([]float64, n)
	const rounds = 24
	for t := range rounds {
		k.fill(int(d.width*1.3/across)+1, m.most)
		made := make([]float64, n)
		for _, w := range boards {
			m.best(k, w, made)
		}
		for i := range made {
			made[i] *= float64(k.width[i])
		}
		normalise(made)
		for i := range k.worth {
			k.worth[i] *= math.Exp(1.5 / math.Sqrt(float64(t+1)) * (want[i] - made[i]))
			if t >= rounds/2 {
				mean[i] += k.worth[i]
			}
		}
	}
	all, sum := make([]int64, n), 0.0
	for i := range mean {
		mean[i] /= items[i].Min.MM()
		sum += mean[i]
	}
	for i := range mean {
		all[i] = int64(mean[i] / sum * float64(n) * 10_000_000)
	}
	return all
}

// across is the unit of the knapsack, in mm.
const across = 2.0

func normalise(v []float64) {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	for i := range v {
		if sum > 0 {
			v[i] /= sum
		}
	}
}

// knapsack has the best worth of up to a number of strips, each with a kerf, in each
// width, and the last strip of it.
type knapsack struct {
	kerf  float64
	exact []float64 // mm
	width []int
	worth []float64
	best  [][]float64
	last  [][]int16
}

func (k *knapsack) fill(room, strips int) {
	k.best, k.last = make([][]float64, strips+1), make([][]int16, strips+1)
	kerf := int(math.Ceil(k.kerf))
	for m := range k.best {
		k.best[m], k.last[m] = make([]float64, room+1), make([]int16, room+1)
		for w := range k.last[m] {
			k.last[m][w] = -1
			if m == 0 {
				continue
			}
			if w > 0 {
				k.best[m][w], k.last[m][w] = k.best[m][w-1], -2 // as with less width
			}
			for i, iw := range k.width {
				if left := w - iw - kerf; left >= 0 {
					if v := k.worth[i] + k.best[m-1][left]; v > k.best[m][w] {
						k.best[m][w], k.last[m][w] = v, int16(i)
					}
				}
			}
		}
	}
}

// at gives the worth in a width, and make adds the strips.
func (k *knapsack) at(strips int, mm float64) float64 {
	if mm <= 0 {
		return 0
	}
	return k.best[strips][min(int(mm/across), len(k.best[0])-1)]
}

func (k *knapsack) make(strips int, mm float64, made []float64) {
	if mm <= 0 {
		return
	}
	kerf := int(math.Ceil(k.kerf))
	for w := min(int(mm/across), len(k.best[0])-1); strips > 0 && k.last[strips][w] != -1; {
		if k.last[strips][w] == -2 {
			w--
			continue
		}
		i := k.last[strips][w]
		made[i]++
		w -= k.width[i] + kerf
		strips--
	}
}

// between gives the item that fills the space between two fixed blades, or -1.
func (k *knapsack) between(mm float64) int {
	best := -1
	for i, w := range k.exact {
		if math.Abs(w-mm) < 0.5 && (best < 0 || k.worth[i] > k.worth[best]) {
			best = i
		}
	}
	return best
}

// coarse is the saw as the planner sees it: moving blades before the first fixed one and
// beyond the last, and parts between fixed blades with a number of strips.
type coarse struct {
	before, beyond, most int
	parts                []part
	anchored             bool
}

// part lies between two fixed blades; moving ones in it may stand against either.
type part struct {
	to     float64 // from the first fixed blade
	room   float64
	moving int
}

func (p *part) worth(k *knapsack) float64 {
	if p.moving > 0 {
		return k.at(p.moving, p.room)
	}
	if i := k.between(p.room); i >= 0 {
		return k.worth[i]
	}
	return 0
}

func (p *part) make(k *knapsack, made []float64) {
	if p.moving > 0 {
		k.make(p.moving, p.room, made)
	} else if i := k.between(p.room); i >= 0 {
		made[i]++
	}
}

func newCoarse(d *draw) *coarse {
	m := &coarse{}
	first, last, between := 0.0, 0.0, 0
	for j := range d.Problem.Saw.Blades {
		b := &d.Problem.Saw.Blades[j]
		switch {
		case b.Moving && !m.anchored:
			m.before++
		case b.Moving:
			between++
		case !m.anchored:
			m.anchored, first = true, b.At.MM()
		default:
			to := b.At.MM() - first
			m.parts = append(m.parts, part{to, to - last - d.Problem.Saw.Kerf.MM(), between})
			last, between = to, 0
		}
	}
	m.beyond = between
	m.most = max(m.before, m.beyond)
	for _, p := range m.parts {
		m.most = max(m.most, p.moving)
	}
	return m
}

// best adds the strips of the best plan for a board of a width.
func (m *coarse) best(k *knapsack, width float64, made []float64) {
	if !m.anchored {
		k.make(max(m.before-1, 0), width, made)
		return
	}
	score := func(u float64) (sum float64) {
		sum = k.at(m.before, u)
		end := u
		for _, p := range m.parts {
			if end = u + p.to; end <= width {
				sum += p.worth(k)
			}
		}
		return sum + k.at(m.beyond, width-end)
	}
	at, most := 0.0, -1.0
	for u := 0.0; u <= min(width, 250); u += 5 {
		if v := score(u); v > most {
			at, most = u, v
		}
	}
	k.make(m.before, at, made)
	end := at
	for _, p := range m.parts {
		if end = at + p.to; end <= width {
			p.make(k, made)
		}
	}
	k.make(m.beyond, width-end, made)
}
