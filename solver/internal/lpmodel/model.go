package lpmodel

import (
	"fmt"
	"math"
	"strings"

	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

// Model writes a problem with one fence stop, fixed widths and caps in pieces as
// a programme in CPLEX's LP format.
//
// The plan is one unit of flow through nodes n(b, a), blade b standing at a. An
// arc x(b, a, k) cuts item k between blade b at a and blade b+1; the idle flow
// w(b, a) carries a plan that leaves the pocket empty on to any later stop of
// the next blade. A strip of an item that is counted in pieces is one piece, so
// the rule that all strips but the largest stay below what is open says that
// there are at most `open` of them.
//
// Runs are measured independently here, from the edges and without sampling: the boards
// have straight edges from end to end, so a clear run is one stretch between two
// crossings of a line.
func Model(p *rip.Problem) string {
	s := &p.Saw
	var objective, rows []string
	in := map[string][]string{}  // terms that enter a node
	out := map[string][]string{} // terms that leave it
	uses := map[int][]string{}
	var binaries []string
	fence := s.Fence.Min
	stops := func(b int) (v []unit.Length) {
		bl := s.Blades[b]
		if !bl.Moving {
			return []unit.Length{bl.At}
		}
		for a := bl.Travel.Min; a <= bl.Travel.Max; a += s.Step {
			v = append(v, a)
		}
		return v
	}
	node := func(b int, a unit.Length) string { return fmt.Sprintf("n_%d_%d", b, a/unit.Millimetre+1000) }
	last := len(s.Blades) - 1
	for b := range s.Blades {
		at := stops(b)
		for _, a := range at {
			n := node(b, a)
			if b == 0 {
				v := "s_" + n
				in[n] = append(in[n], v)
				in["source"] = append(in["source"], v)
				binaries = append(binaries, v)
			}
			if b == last {
				out[n] = append(out[n], "t_"+n)
				continue
			}
			face := a + s.Kerf
			next := stops(b + 1)
			idle := false
			for _, d := range next {
				if d-face < s.Gap {
					continue
				}
				idle = true
				for k := range p.Items {
					it := &p.Items[k]
					if d-face != it.Min {
						continue
					}
					worth := strip(p, it, face-fence, d-fence)
					if worth < 0 {
						continue
					}
					v := fmt.Sprintf("x_%d_%d_%d", b, a/unit.Millimetre+1000, k)
					objective = append(objective, fmt.Sprintf("%.12f %s", worth, v))
					out[n] = append(out[n], v)
					in[node(b+1, d)] = append(in[node(b+1, d)], v)
					uses[k] = append(uses[k], v)
					binaries = append(binaries, v)
				}
			}
			if idle {
				v := "i_" + n
				out[n] = append(out[n], v)
				binaries = append(binaries, v)
				// It joins the idle line at the first stop that the gap allows.
				for j, d := range next {
					if d-face >= s.Gap {
						line := fmt.Sprintf("l_%d_%d", b+1, j)
						in[line] = append(in[line], v)
						break
					}
				}
			}
		}
		if b < last {
			next := stops(b + 1)
			for j, d := range next {
				line := fmt.Sprintf("l_%d_%d", b+1, j)
				leave := "e_" + node(b+1, d)
				out[line] = append(out[line], leave)
				in[node(b+1, d)] = append(in[node(b+1, d)], leave)
				if j+1 < len(next) {
					on := fmt.Sprintf("w_%d_%d", b+1, j)
					out[line] = append(out[line], on)
					following := fmt.Sprintf("l_%d_%d", b+1, j+1)
					in[following] = append(in[following], on)
				}
			}
		}
	}
	rows = append(rows, " one: "+strings.Join(in["source"], " + ")+" = 1")
	delete(in, "source")
	for n, enter := range in {
		rows = append(rows, " c_"+n+": "+strings.Join(enter, " + ")+" - "+strings.Join(or(out[n], "zero"), " - ")+" = 0")
		delete(out, n)
	}
	for n, leave := range out { // nothing enters
		rows = append(rows, " c_"+n+": "+strings.Join(leave, " + ")+" = 0")
	}
	for k, v := range uses {
		if open, limited := p.Items[k].Open(); limited {
			rows = append(rows, fmt.Sprintf(" cap_%d: %s <= %d", k, strings.Join(v, " + "), open))
		}
	}
	if len(objective) == 0 {
		objective = []string{"0 zero"}
	}
	return "Maximize\n obj: " + fold(strings.Join(objective, " + ")) + "\nSubject To\n" + fold(strings.Join(rows, "\n")) +
		"\nBounds\n zero = 0\nBinary\n " + fold(strings.Join(binaries, " ")) + "\nEnd\n"
}

func or(v []string, otherwise string) []string {
	if len(v) == 0 {
		return []string{otherwise}
	}
	return v
}

// fold keeps lines short: the format allows 255 characters; a longer line would be cut.
func fold(s string) string {
	var b strings.Builder
	n := 0
	for _, w := range strings.SplitAfter(s, " ") {
		if n += len(w); n > 200 {
			b.WriteString("\n  ")
			n = len(w)
		}
		if strings.Contains(w, "\n") {
			n = 0
		}
		b.WriteString(w)
	}
	return b.String()
}

// strip gives the worth of a strip of an item in the pocket [p, q], or -1.
func strip(pr *rip.Problem, it *order.Item, p, q unit.Length) float64 {
	worth := -1.0
	for _, r := range oracle.Bare(&pr.Board, it, int64(p), int64(q), clearOf(pr, p, q)) {
		run := r[1] - r[0]
		if run*1000 < int64(it.LeastLength) {
			continue
		}
		value := float64(it.Value) / 1e6 * it.Min.MM() / 1e3 * float64(run) / 1e6
		if len(it.Cuts) > 0 {
			v, ok := oracle.Pack(it, run)
			if !ok {
				continue
			}
			value = float64(v) / 1e6
		}
		worth = max(worth, 0) + value
	}
	return worth
}

// rounded is how far, in micrometres, the crossing of two lines may be off in floating
// point: some hundred times the resolution of a float64 on the longest board, 4e-9 of
// 2e7.
const rounded = 1e-6

// clearOf gives the run over which a board with two straight edges covers [p, q],
// in whole micrometres.
func clearOf(pr *rip.Problem, p, q unit.Length) [][2]int64 {
	s, e := pr.Board.Stations[0], pr.Board.Stations[1]
	l := float64(pr.Board.Length)
	from, to := 0.0, l
	cut := func(g0, g1 float64) { // where g0 + (g1-g0) x/l >= 0
		switch {
		case g0 >= 0 && g1 >= 0:
		case g0 < 0 && g1 < 0:
			to = -1
		case g0 < 0:
			from = max(from, l*g0/(g0-g1))
		default:
			to = min(to, l*g0/(g0-g1))
		}
	}
	t := pr.Saw.Trim
	cut(float64(p-s.Near-t), float64(p-e.Near-t))
	cut(float64(s.Far-t-q), float64(e.Far-t-q))
	lo, hi := int64(math.Ceil(from/1000-rounded)), int64(math.Floor(to/1000+rounded))
	if hi <= lo {
		return nil
	}
	return [][2]int64{{lo, hi}}
}
