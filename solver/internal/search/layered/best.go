package layered

import (
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// begin computes the best of a node from which a strip begins.
func (g *Graph) begin(id int32) {
	nd := g.at(id)
	if nd.by&begun != 0 || g.stopped() {
		return
	}
	k, st, e := int(nd.k), int(nd.st), int(nd.e)
	if g.side.At(k, st, e) < 0 {
		nd.by |= begun
		return
	}
	best := none
	list, wide := g.found[k][:0], g.wide[k][:0]
	g.side.Strips(k, st, e, g.side.At(k, st, e)-g.side.P.Slack, func(x costtogo.Clear) bool {
		s, sc, ok := g.widest(k, st, e, x)
		c := sc.Cmp(&best)
		if ok && c > 0 {
			best, list, wide = sc, list[:0], wide[:0]
		}
		if ok && c >= 0 {
			wide = append(wide, s)
		}
		return ok
	}, func(x costtogo.Strip) {
		to := g.node(k-1, x.State, x.End)
		g.after(to)
		sc := x.Score.Plus(g.scores[g.at(to).top])
		sc.Blades += g.side.InWood(k-1, x.End)
		c := sc.Cmp(&best)
		if c > 0 {
			best, list, wide = sc, list[:0], wide[:0]
		}
		if c >= 0 {
			list = append(list, edge{int32(x.Want.Index), to})
		}
	})
	if g.side.Ends() && g.side.Parks(k) {
		g.side.FaceEnds(k, st, e, g.side.At(k, st, e)-g.side.P.Slack, func(x costtogo.Strip) {
			c := x.Score.Cmp(&best)
			if c > 0 {
				best, list, wide = x.Score, list[:0], wide[:0]
			}
			if c >= 0 {
				list = append(list, edge{int32(x.Want.Index), faceEnd})
			}
		})
	}
	g.found[k], g.wide[k] = list, wide
	nd = g.at(id)
	nd.begin = g.keepScore(&best)
	nd.by |= begun
	nd.from = int32(len(g.edges))
	g.edges = append(g.edges, list...)
	nd.to = int32(len(g.edges))
	nd.span[0] = int32(len(g.spans))
	g.spans = append(g.spans, wide...)
	nd.span[1] = int32(len(g.spans))
	g.hold(2 * (8*len(list) + 12*len(wide)))
}

// after computes the best of a node.
func (g *Graph) after(id int32) {
	nd := g.at(id)
	if nd.by&done != 0 || g.stopped() {
		return
	}
	k, st, e := int(nd.k), int(nd.st), int(nd.e)
	best, by := none, ways(0)
	offer := func(sc model.Score, w ways) {
		switch c := sc.Cmp(&best); {
		case c > 0:
			best, by = sc, w
		case c == 0:
			by |= w
		}
	}
	need := g.side.At(k, st, e) - g.side.P.Slack
	if need <= 0 && g.side.Parks(k) {
		offer(model.Score{}, byNothing)
	}
	if (k > 0 || g.side.Ends()) && need >= -g.side.P.Slack {
		g.begin(id)
		offer(g.scores[g.at(id).begin], byStrip)
		if next := e + g.side.Apart(k); k > 0 && g.side.Rest(k-1, st, next) >= need {
			if h := g.start(k-1, st, next); h >= 0 {
				offer(g.startTop(h), byOffcut)
			}
		}
	}
	nd = g.at(id)
	if nd.by |= by | done; by&byStrip != 0 {
		nd.top = nd.begin
	} else {
		nd.top = g.keepScore(&best)
	}
}

// keepScore keeps a score of a node. Nodes side by side often have the same one.
func (g *Graph) keepScore(sc *model.Score) int32 {
	const odd = 0x9e3779b97f4a7c15 // 2^64 divided by the golden ratio
	at := &g.scoreAt[(((sc.Worth.Lo*odd+uint64(sc.Dev))*odd+uint64(sc.Area))*odd+uint64(sc.Blades))*odd>>56]
	if g.scores[*at] != *sc && g.hold(2*scoreBytes) {
		*at = int32(len(g.scores))
		g.scores = append(g.scores, *sc)
	}
	return *at
}

// startTop scores a blade that stands at a node after an offcut. As long as travels are
// left out, a strip begins at it: an idle blade in the wood is never of use.
func (g *Graph) startTop(id int32) model.Score {
	nd := g.at(id)
	sc := g.scores[nd.begin]
	if g.side.Limited() {
		sc = g.scores[nd.top]
	}
	sc.Blades += g.side.InWood(int(nd.k), int(nd.e))
	return sc
}

// peaksHeld is how many peaks are counted at once.
const peaksHeld = 1024

// start gives the first of the best nodes from an entry on at which a blade can stand
// after an offcut, or -1 if there is none. The others follow by next.
func (g *Graph) start(k, st, e int) int32 {
	e = max(e, 0)
	if k < 0 || e >= g.n || k == 0 && !g.side.Limited() && !g.side.Ends() {
		return -1
	}
	if id, known := g.hub(k, st, e); known {
		return id
	}
	// The peaks up to a known one, or to where all that follows is worth clearly less.
	first, best := len(g.peaks), int32(-1)
	g.side.Peaks(k, st, e, func(i int) bool {
		if id, known := g.hub(k, st, i); known {
			best = id
			return false
		}
		if len(g.peaks) == g.peaksHeld {
			if !g.hold(peaksHeld * 2 * 4) {
				return false
			}
			g.peaksHeld += peaksHeld
		}
		g.peaks = append(g.peaks, int32(i))
		return true
	})
	if g.Full {
		g.peaks = g.peaks[:first]
		return -1
	}
	for len(g.peaks) > first {
		i := int(g.peaks[len(g.peaks)-1])
		g.peaks = g.peaks[:len(g.peaks)-1]
		id := g.node(k, st, i)
		g.begin(id)
		if g.side.Limited() {
			g.after(id)
		}
		if g.stopped() {
			g.peaks = g.peaks[:first]
			return -1
		}
		if sc := g.startTop(id); sc.Worth.Hi >= 0 {
			c := 1
			if best >= 0 {
				a, b := g.startTop(id), g.startTop(best)
				c = a.Cmp(&b)
			}
			if c == 0 {
				g.at(id).next = best + 1
			}
			if c >= 0 {
				best = id
			}
		}
		g.keepHub(k, st, i, best)
	}
	g.keepHub(k, st, e, best)
	return best
}

// Top gives the best beyond the fixed blade at an entry, with a state.
func (g *Graph) Top(st, e int) model.Score {
	m := g.side.Moving
	switch {
	case g.side.Empty() || e >= g.n:
		return model.Score{}
	case e >= g.side.First():
		id := g.node(m, st, e)
		g.after(id)
		return g.scores[g.at(id).top]
	}
	best := none
	need := g.side.At(m, st, e) - g.side.P.Slack
	for q := 0; q <= g.waiting(e); q++ {
		if need <= 0 && g.side.Parks(m-q) {
			best = model.Score{}
		}
	}
	for q := 0; q <= g.waiting(e); q++ {
		if next := e + g.side.Apart(m); g.side.Rest(m-1-q, st, next) >= need {
			if h := g.start(m-1-q, st, next); h >= 0 {
				if sc := g.startTop(h); sc.Cmp(&best) > 0 {
					best = sc
				}
			}
		}
		if l := g.faces(m-1-q, st, e); len(l) > 0 {
			if sc := g.faceTop(l[0]); sc.Cmp(&best) > 0 {
				best = sc
			}
		}
		if !g.side.Limited() {
			break // fewer blades bring no more
		}
	}
	return best
}

// waiting is how many blades can wait before the board beyond a fixed one that also
// stands there, at an entry.
func (g *Graph) waiting(e int) int {
	q := 0
	if e+g.side.Apart(g.side.Moving) <= 0 {
		for q < g.side.Moving && g.side.Waits(q+1) {
			q++
		}
	}
	return q
}
