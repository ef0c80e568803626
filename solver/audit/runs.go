package audit

import (
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// clear appends where the trimmed wood covers [lo, hi], ends rounded inward to whole
// micrometres, by one walk along the board. At a station the band is covered or not;
// between two it is covered throughout if it is at both, since edges are straight there,
// and otherwise on one stretch, which is computed from the crossings.
func (l *lying) clear(dst []wood.Stretch, lo, hi unit.Length) []wood.Stretch {
	most, least := lo-l.trimNear, hi+l.trimFar // of near, of far
	if most < l.nearLow || least > l.farHigh {
		return dst
	}
	if most >= l.nearHigh && least <= l.farLow {
		return keep(dst, 0, l.along)
	}
	start := unit.Run(0)
	was := l.at[0].Near <= most && l.at[0].Far >= least
	for i := 1; i < len(l.at); i++ {
		s, t := &l.at[i-1], &l.at[i]
		is := t.Near <= most && t.Far >= least
		if was && is || s.Near > most && t.Near > most || s.Far < least && t.Far < least {
			was = is
			continue
		}
		from, to := stretch(s.X, t.X, most-s.Near, most-t.Near)
		from2, to2 := stretch(s.X, t.X, s.Far-least, t.Far-least)
		from, to = max(from, from2), min(to, to2)
		switch {
		case was:
			dst = keep(dst, start, to)
		case is:
			start = from
		default:
			dst = keep(dst, from, to)
		}
		was = is
	}
	if was {
		dst = keep(dst, start, l.along)
	}
	return dst
}

// stretch gives where a height that goes straight from g at x to h at y is not below 0;
// it is not below 0 at one of them at least.
func stretch(x, y, g, h unit.Length) (from, to unit.Run) {
	from, to = unit.Run((x+999)/1000), unit.Run(y/1000)
	switch {
	case g < 0:
		_, up := ratio(int64(y-x), int64(-g), int64(h-g))
		from = unit.Run((int64(x) + up + 999) / 1000)
	case h < 0:
		down, _ := ratio(int64(y-x), int64(g), int64(g-h))
		to = unit.Run((int64(x) + down) / 1000)
	}
	return from, to
}

// keep appends a stretch that has a length.
func keep(dst []wood.Stretch, from, to unit.Run) []wood.Stretch {
	if from < to {
		dst = append(dst, wood.Stretch{From: from, To: to})
	}
	return dst
}

// usable gives the runs of a band for an item that accepts these kinds of defects: the
// clear stretches, intersected with the stretches between refused defects, of which
// touching ones are joined.
func (a *auditor) usable(lo, hi unit.Length, accepts []string) []wood.Stretch {
	l := &a.lies
	a.runs = l.clear(a.runs[:0], lo, hi)
	if len(l.defects) == 0 || len(a.runs) == 0 {
		return a.runs
	}
	a.accepts = append(a.accepts[:0], make([]bool, len(l.kinds))...)
	for _, name := range accepts {
		if kind, there := l.kinds[name]; there {
			a.accepts[kind] = true
		}
	}
	a.blocks = a.blocks[:0]
	for i := range l.defects {
		d := &l.defects[i]
		if a.accepts[d.kind] || d.lo >= hi || d.hi <= lo {
			continue
		}
		if n := len(a.blocks); n > 0 && d.from <= a.blocks[n-1].To {
			a.blocks[n-1].To = max(a.blocks[n-1].To, d.to)
			continue
		}
		a.blocks = append(a.blocks, wood.Stretch{From: d.from, To: d.to})
	}
	if len(a.blocks) == 0 {
		return a.runs
	}
	a.bare = a.bare[:0]
	open := unit.Run(0) // where the free stretch before the block began
	i := 0
	for k := 0; k <= len(a.blocks); k++ {
		end := l.along
		if k < len(a.blocks) {
			end = a.blocks[k].From
		}
		for ; i < len(a.runs) && a.runs[i].From < end; i++ {
			r := a.runs[i]
			a.bare = keep(a.bare, max(r.From, open), min(r.To, end))
			if r.To > end {
				break // it continues beyond the block
			}
		}
		if k < len(a.blocks) {
			open = a.blocks[k].To
		}
	}
	return a.bare
}
