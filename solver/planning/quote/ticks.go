package quote

import "slices"

// mostTicks limits the points of a run that are remembered.
const mostTicks = 128

// ticks remembers what was made at a regular interval of boards: when there are too many
// points, every other one is dropped.
type ticks struct {
	every int
	made  [][]int64
}

func (t *ticks) add(boards int, made []int64) {
	t.every = max(t.every, 1)
	if boards != (len(t.made)+1)*t.every {
		return
	}
	t.made = append(t.made, slices.Clone(made))
	if len(t.made) < mostTicks {
		return
	}
	for i := range mostTicks / 2 {
		t.made[i] = t.made[2*i+1]
	}
	t.made = t.made[:mostTicks/2]
	t.every *= 2
}

// curve gives for each row the fraction filled at each tenth of the run, which ended with
// what is made.
func (t *ticks) curve(boards int, made, target []int64) [][Tenths]float64 {
	out := make([][Tenths]float64, len(target))
	for k := range target {
		if target[k] <= 0 {
			continue
		}
		filled := func(made int64) float64 { return min(float64(made)/float64(target[k]), 1) }
		for i := range Tenths - 1 {
			at := float64(boards) * float64(i+1) / Tenths / float64(max(t.every, 1))
			if n := min(int(at+0.5), len(t.made)); n > 0 {
				out[k][i] = filled(t.made[n-1][k])
			}
		}
		out[k][Tenths-1] = filled(made[k])
	}
	return out
}
