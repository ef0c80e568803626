//go:build verify

package scraped

import (
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// figures gives the expected result of every query of the dashboard, from the books, by
// the panel's title and the query's place in it.
func (m *mill) figures(saw, order string) map[string]func(figure) []string {
	of := func(b *books) bool { return saw == ".*" || b.saw == saw }
	const hourly = 12 // windows of five minutes in an hour
	saws := func(f func(name string) float64) figure {
		out := figure{}
		for _, name := range []string{"kestrel", "linden"} {
			if saw == ".*" || saw == name {
				out[name] = f(name)
			}
		}
		return out
	}
	by := func(name string, f func(*books) float64) float64 {
		return m.sum(f, func(b *books) bool { return b.saw == name })
	}
	uses := func(pick func(*books) map[string]float64, names ...string) figure {
		out := figure{}
		for _, use := range names {
			out[use] = hourly * m.sum(func(b *books) float64 { return pick(b)[use] }, of)
		}
		return out
	}
	planned, cut := func(b *books) map[string]float64 { return b.plannedUses }, func(b *books) map[string]float64 { return b.uses }
	ratio := func(pick func(*books) map[string]float64) figure {
		return saws(func(name string) float64 {
			return by(name, func(b *books) float64 { return pick(b)["strip"] }) / by(name, func(b *books) float64 { return total(pick(b)) })
		})
	}
	became, refused, doubts := figure{}, figure{}, figure{}
	for _, b := range m.runs {
		if of(b) {
			for outcome, n := range b.outcomes {
				became[outcome+" "+b.saw] += hourly * n
			}
			for kind, n := range b.doubts {
				doubts[kind+" "+b.saw] += hourly * n
			}
			if b.refused > 0 {
				refused["outside_saw_limits "+b.saw] += hourly * b.refused
			}
		}
	}
	var times []float64
	for _, b := range m.runs {
		if of(b) {
			times = append(times, b.solveTimes...)
		}
	}
	slices.Sort(times)
	fill, open := m.stand(order)
	workers := func(got figure) []string { return between(3, 3*64)(got) }
	quote := between(1e-6, 60)
	return map[string]func(figure) []string{
		"Yield, cut and planned 0": exactly(ratio(cut), near),
		"Yield, cut and planned 1": exactly(ratio(planned), near),
		"Boards an hour 0": exactly(saws(func(name string) float64 {
			return hourly * by(name, func(b *books) float64 {
				return total(b.outcomes) - b.outcomes["not_cut"] - b.outcomes["sent_back"] - b.outcomes["set_aside"]
			})
		}), near),
		"Boards an hour 1": exactly(saws(func(name string) float64 {
			return hourly * by(name, func(b *books) float64 { return b.planned })
		}), near),
		"What became of boards, an hour 0":        exactly(became, near),
		"What became of boards, an hour 1":        exactly(refused, near),
		"Where the wood of cut boards goes 0":     exactly(uses(cut, "strip", "end_trim", "offcut", "edging", "kerf", "other"), near),
		"Where the wood of planned boards goes 0": exactly(uses(planned, "strip", "end_trim", "offcut", "edging", "kerf"), near),
		"Order fill 0":                                  exactly(fill, 1e-9),
		"Still open: items counted in length 0":         exactly(open["m"], 1e-9),
		"Still open: items counted in area 0":           exactly(open["m2"], 1e-9),
		"Still open: items counted in pieces 0":         exactly(open["pieces"], 1e-9),
		"Still open: crosscut pieces 0":                 exactly(open["crosscut"], 1e-9),
		"Wood sawn since the last change of blades 0":   exactly(m.wear(saw, func(b *books) map[string]float64 { return b.sawn }), near),
		"Blade travel since then 0":                     exactly(m.wear(saw, func(b *books) map[string]float64 { return b.travel }), near),
		"How much wider than planned strips come out 0": exactly(m.wider(saw), 0.1),
		"How much wider than planned strips come out 1": exactly(figure{}, 0),
		"Running and standing, last eight hours 0": exactly(saws(func(name string) float64 {
			return by(name, func(b *books) float64 { return b.running })
		}), near),
		"Running and standing, last eight hours 1": exactly(saws(func(name string) float64 {
			return by(name, func(b *books) float64 { return b.standing })
		}), near),
		"Doubts about measured strips, an hour 0": exactly(doubts, near),
		"Solve time 0":                      between(times[len(times)/2]/4, times[len(times)/2]*4),
		"Solve time 1":                      between(times[len(times)/2]/4, 60),
		"Request and queue time 0":          between(1e-6, 60),
		"Request and queue time 1":          between(1e-9, 60),
		"Turned away, not proven, panics 0": exactly(figure{"": 0}, 0),
		"Turned away, not proven, panics 1": exactly(figure{"": 1.0 / 300}, near),
		"Turned away, not proven, panics 2": exactly(figure{"": 0}, 0),
		"Turned away, not proven, panics 3": exactly(figure{"calls": 0, "caller_calls": 0, "waiting": 0, "caller_waiting": 0,
			"connections": 0, "caller_connections": 0, "memory": 0}, 0),
		"Plans and tallies 0": between(0, 0),
		"Plans and tallies 1": between(0, 0),
		"Plans and tallies 2": workers,
		"Time of plans 0":     quote,
		"Time of plans 1":     quote,
	}
}

// stand is the state of orders by the last answer of the run that had each last, and for
// the one that no line runs by what was sent.
func (m *mill) stand(order string) (fill figure, open map[string]figure) {
	fill, open = figure{}, map[string]figure{"m": {}, "m2": {}, "pieces": {}, "crosscut": {}}
	last := map[string]*books{}
	for _, b := range m.runs {
		last[b.order] = b
	}
	amount := func(a *ripwrightv1.Amount) (float64, string) {
		switch a.GetAmount().(type) {
		case *ripwrightv1.Amount_LengthM:
			return a.GetLengthM(), "m"
		case *ripwrightv1.Amount_AreaM2:
			return a.GetAreaM2(), "m2"
		case *ripwrightv1.Amount_Pieces:
			return float64(a.GetPieces()), "pieces"
		}
		return 0, ""
	}
	for name, b := range last {
		if order != ".*" && order != name {
			continue
		}
		for _, f := range b.fills {
			required, unit := amount(f.GetRequired())
			if required == 0 {
				continue
			}
			made, _ := amount(f.GetMade())
			// Labels in order of their names: item, then order.
			fill[f.GetItemId()+" "+name] = made / required
			if required > made {
				open[unit][f.GetItemId()+" "+name] = required - made
			}
		}
	}
	if order == ".*" || order == "frames" {
		fill["head frames"] = (10.0 + 8) / (40 + 8)
		open["crosscut"]["head frames"] = 30
	}
	return fill, open
}

// wear is what each blade did since the last change that its saw named.
func (m *mill) wear(saw string, pick func(*books) map[string]float64) figure {
	changed, out := map[string]string{}, figure{}
	for _, b := range m.runs {
		changed[b.saw] = b.changed
	}
	for _, b := range m.runs {
		if saw != ".*" && saw != b.saw || changed[b.saw] != b.changed {
			continue
		}
		for blade := range b.sawn {
			// Labels by name: blade, blades_changed, saw.
			out[blade+" "+b.changed+" "+b.saw] += pick(b)[blade]
		}
	}
	return out
}

// wider is how much wider than planned the strips of each pocket came out, on average, in
// mm.
func (m *mill) wider(saw string) figure {
	sum, n := figure{}, figure{}
	for _, b := range m.runs {
		for at := range b.measured {
			if saw == ".*" || saw == b.saw {
				sum[at+" "+b.saw] += b.wider[at]
				n[at+" "+b.saw] += b.measured[at]
			}
		}
	}
	for at := range sum {
		sum[at] /= n[at]
	}
	return sum
}
