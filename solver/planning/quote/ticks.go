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

// curve gives for each row the fraction filled at each tenth of the run.
func (t *ticks) curve(boards int, target []int64) [][Tenths]float64 {
	out := make([][Tenths]float64, len(target))
	for k := range target {
		for i := range Tenths {
			at := float64(boards) * float64(i+1) / Tenths / float64(max(t.every, 1))
			n := min(int(at+0.5), len(t.made))
			if n == 0 || target[k] <= 0 {
				continue
			}
			out[k][i] = min(float64(t.made[n-1][k])/float64(target[k]), 1)
		}
	}
	return out
}
