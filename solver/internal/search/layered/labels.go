package layered

import (
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// Travels is how labels account for travels.
type Travels int

// How labels account for travels.
const (
	Ignored Travels = iota // not at all
	Bounded                // by a lower bound over the fences at hand
	Placed                 // exactly at one fence, with the places of blades
)

// Label is one way to continue beyond a blade: its score, with as much travel as is
// known, and what it uses up.
type Label struct {
	Score   model.Score
	Amounts Amounts
	part    *part // for one fence
}

// Labels is the ways to use the blades of one side that are worth at least an amount and
// keep some caps, by labels with exact amounts (Irnich and Desaulniers, Shortest Path
// Problems with Resource Constraints, 2005). A label that scores no better than another
// and leaves less of some cap, and no more of any, is dominated. The tables bound what
// completes a label: labels that fall short of the best by more than a gap are left out.
type Labels struct {
	g       *Graph
	caps    []int
	open    []int64 // of each cap
	travels Travels
	fronts  [2]map[int]*front
	hubs    map[int]*front
	room    *int // how many more labels there may be
	held    int  // bytes
	// Farthest is how far the blades of a label may travel.
	Farthest int64
}

// labelBytes is the memory of a label, with its share of what holds it; frontBytes that
// of a front.
const (
	labelBytes = 192
	frontBytes = 128
)

// hold counts bytes about to be allocated.
func (l *Labels) hold(n int) bool {
	if !l.g.hold(n) {
		return false
	}
	l.held += n
	return true
}

// Release gives back the labels' memory: their results must not be used any more.
func (l *Labels) Release() {
	l.g.budget.Free(int64(l.held))
	l.held = 0
}

// NewLabels gives labels of a graph that keep some caps, as many as there is room for:
// once that is below 0, their results must not be used. The fences at hand are those set
// by Within.
func (g *Graph) NewLabels(caps []int, travels Travels, room *int) *Labels {
	l := &Labels{g: g, caps: caps, travels: travels, room: room, hubs: map[int]*front{}, Farthest: far - 1}
	l.fronts[0], l.fronts[1] = map[int]*front{}, map[int]*front{}
	for _, c := range caps {
		for i := range g.side.P.M.Wants {
			if w := &g.side.P.M.Wants[i]; w.Cap == c {
				l.open = append(l.open, w.Open)
			}
		}
	}
	return l
}

func (l *Labels) stopped() bool { return *l.room < 0 || l.g.stopped() }

// Strip gives what a strip of a want between two heights uses up.
func (l *Labels) Strip(w *model.Want, left, right int64) (a Amounts) {
	if i := slices.Index(l.caps, w.Cap); i >= 0 && w.Cap != model.None {
		m := l.g.side.P.M
		v := w.Amount(right-left, m.Cut(w, left, right))
		a[i].Sum, a[i].Largest = v, v
	}
	return a
}

// Keeps reports whether amounts keep every cap of the labels.
func (l *Labels) Keeps(a *Amounts) bool {
	for i, open := range l.open {
		if a[i].Sum-a[i].Largest >= open {
			return false
		}
	}
	return true
}

// From gives the labels beyond the fixed blade at an entry, with a state.
func (l *Labels) From(st, e int, gap int64) []Label {
	g := l.g
	m := g.side.Moving
	switch {
	case m == 0:
		return []Label{{part: &part{}}}
	case e >= g.n:
		return l.add(nil, l.parked(m, g.frame.at(g.n-1)), 0)
	case e >= 0:
		return l.front(m, st, e, gap, false).list
	}
	var all []Label
	need := g.side.At(m, st, e) - gap
	for q := 0; q <= g.waiting(e); q++ {
		if need <= 0 && g.side.Parks(m-q) {
			all = l.add(all, l.lead(q, 0, l.parked(m-q, g.frame.at(g.n-1))), need)
		}
		k, from := m-1-q, max(e+g.side.Apart(m), 0)
		if k < 0 || g.side.Rest(k, st, from) < need {
			continue
		}
		if q == 0 {
			for _, x := range l.hub(k, st, from, need) {
				all = l.add(all, x, need)
			}
			continue
		}
		for i := from; i < g.n && !g.side.P.Over(8) && g.side.Rest(k, st, i) >= need; i++ {
			if v := g.side.At(k, st, i); v >= max(need, 0) {
				for _, x := range l.start(k, st, i, v-need) {
					all = l.add(all, l.lead(q, i-g.side.Apart(k+1), x), need)
				}
			}
		}
	}
	return l.sorted(all)
}

// lead puts q blades that wait before the board in front of a label.
func (l *Labels) lead(q, e int, x Label) Label {
	switch {
	case q == 0:
	case l.travels == Bounded:
		l.move(&x, l.g.leadEnds(q, e))
	case l.travels == Placed && x.part != nil:
		if c := l.g.leadCost(q, e); c < far {
			x.Score.Travel += c
			x.part = l.g.led(q, e, x.part)
		} else {
			x.part = nil
		}
	}
	return x
}

// parked is the label of the last k blades beyond the wood from a height on.
func (l *Labels) parked(k int, y int64) (x Label) {
	switch l.travels {
	case Ignored:
	case Bounded:
		l.move(&x, l.g.tailCost(k, y))
	case Placed:
		if c := l.g.tail.cost(k, y+l.g.f1); c < far {
			x.Score.Travel, x.part = c, l.g.parked(k, y) // nil where the search ends
		}
	}
	return x
}

// move adds a travel to a bounded one.
func (l *Labels) move(x *Label, c ends) { x.Score.Travel = min(x.Score.Travel+c.least(), far) }

// joined puts a blade at an entry, and a want in the pocket before it, in front of a
// label.
func (l *Labels) joined(k, e, want int, x Label) Label {
	g := l.g
	x.Score.Blades += g.side.InWood(k, e)
	if l.travels == Bounded {
		l.move(&x, g.reachAt(k, e))
	}
	if l.travels != Placed || x.part == nil {
		return x
	}
	b := &g.frame.blades[g.side.Moving-1-k]
	at := g.frame.stand(k, e) + g.f1
	if at < b.lo || at > b.hi {
		x.part = nil
		return x
	}
	x.Score.Travel += max(at-b.current, b.current-at)
	if !l.hold(partBytes(1 + len(x.part.at))) {
		x.part = nil
		return x
	}
	p := &part{make([]int64, 0, 1+len(x.part.at)), make([]int, 0, 1+len(x.part.at))}
	p.at, p.wants = append(append(p.at, at), x.part.at...), append(append(p.wants, want), x.part.wants...)
	x.part = p
	return x
}

// Plan gives the places of the blades of a label for one fence and the wants beyond the
// fixed one, both along the arbor.
func (l *Labels) Plan(x *Label) (at []int64, wants []int) {
	n := len(x.part.at)
	at, wants = make([]int64, n), make([]int, n)
	for j := range n {
		i := j
		if l.g.side.Left {
			i = n - 1 - j
		}
		at[i], wants[i] = l.g.frame.turn(x.part.at[j]), x.part.wants[j]
	}
	return at, wants
}
