package oracle

import (
	"slices"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/wood"
)

// stationed gives a board's stations, with one at either end.
func stationed(b *wood.Board) []wood.Station {
	st := slices.Clone(b.Stations)
	if s := st[0]; s.X > 0 {
		st = slices.Insert(st, 0, wood.Station{Near: s.Near, Far: s.Far})
	}
	if s := st[len(st)-1]; s.X < b.Length {
		st = append(st, wood.Station{X: b.Length, Near: s.Near, Far: s.Far})
	}
	return st
}

// Runs gives where the trimmed wood covers the band from p to q, in micrometres,
// solved stretch by stretch between stations.
func Runs(b *wood.Board, trim, p, q int64) [][2]int64 { return runsOf(b, stationed(b), trim, p, q) }

func runsOf(b *wood.Board, st []wood.Station, trim, p, q int64) [][2]int64 {
	nearTrim := trim
	if b.StraightNear {
		nearTrim = 0
	}
	var out [][2]int64 // in nanometres, rounded inward
	for i := 1; i < len(st); i++ {
		s, t := &st[i-1], &st[i]
		lo, hi := int64(s.X), int64(t.X)
		some := true
		within := func(g0, g1 int64) { // the part of the stretch where the line from g0 to g1 is not below 0
			switch {
			case g0 < 0 && g1 < 0:
				some = false
			case g0 < 0:
				lo = max(lo, int64(s.X)+upDiv(-g0, int64(t.X-s.X), g1-g0))
			case g1 < 0:
				hi = min(hi, int64(s.X)+downDiv(g0, int64(t.X-s.X), g0-g1))
			}
		}
		within(p-int64(s.Near)-nearTrim, p-int64(t.Near)-nearTrim)
		within(int64(s.Far)-trim-q, int64(t.Far)-trim-q)
		if !some || lo > hi {
			continue
		}
		if n := len(out); n > 0 && out[n-1][1] >= lo {
			out[n-1][1] = hi
		} else {
			out = append(out, [2]int64{lo, hi})
		}
	}
	kept := out[:0]
	for _, o := range out {
		if from, to := thousandths(o[0], true), thousandths(o[1], false); from < to {
			kept = append(kept, [2]int64{from, to})
		}
	}
	return kept
}

// Bare removes the refused defects from the runs of the band from l to r: from every run,
// one defect after the other.
func Bare(b *wood.Board, it *order.Item, l, r int64, runs [][2]int64) [][2]int64 {
	for _, d := range b.Defects {
		if slices.Contains(it.Accepts, d.Kind) || int64(d.FromY) >= r || int64(d.ToY) <= l {
			continue
		}
		from, to := thousandths(int64(d.FromX), false), thousandths(int64(d.ToX), true)
		var left [][2]int64
		for _, run := range runs {
			for _, part := range [][2]int64{{run[0], min(run[1], from)}, {max(run[0], to), run[1]}} {
				if part[0] < part[1] && !slices.Contains(left, part) {
					left = append(left, part)
				}
			}
		}
		runs = left
	}
	return runs
}

// inWood looks for a point of the open band inside the wood: by the corners of
// every stretch clipped to the band.
func inWood(b *wood.Board, lo, hi int64) bool {
	if hi <= lo {
		return false
	}
	s := b.Stations
	for i := range s {
		j := min(i+1, len(s)-1)
		if s[i].Near == s[i].Far && s[j].Near == s[j].Far {
			continue
		}
		// Along x the stretch is convex: it meets the open band unless all four
		// corners lie on one side.
		below := int64(s[i].Far) <= lo && int64(s[j].Far) <= lo
		above := int64(s[i].Near) >= hi && int64(s[j].Near) >= hi
		if !below && !above {
			return true
		}
	}
	return false
}
