package layered

import (
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
)

// faceStart is a strip that begins at the face of the fence, and the node of the blade
// that ends it.
type faceStart struct {
	want, node int32
	score      model.Score
}

// faces gives the best face strips that can begin a path beyond a fixed blade which
// stands before the board at an entry, with k blades to come after the one that ends the
// strip.
func (g *Graph) faces(k, st, e int) []faceStart {
	if !g.side.Starts() || k < 0 {
		return nil
	}
	key := [3]int{k, st, max(e+g.side.Apart(g.side.Moving), 0)}
	if l, ok := g.faceLists[key]; ok {
		return l
	}
	var l []faceStart
	need := g.side.At(g.side.Moving, st, e)
	if g.side.Limited() { // fewer blades may bring less
		need = 0
	}
	var best model.Score
	g.side.FaceStarts(k, st, key[2], need-g.side.P.Slack, func(x costtogo.Strip) {
		id := g.node(k, x.State, x.End)
		g.after(id)
		s := faceStart{int32(x.Want.Index), id, x.Score}
		sc := g.faceTop(s)
		if sc.Worth.Hi < 0 {
			return
		}
		c := 1
		if len(l) > 0 {
			c = sc.Cmp(&best)
		}
		if c > 0 {
			best, l = sc, l[:0]
		}
		if c >= 0 {
			l = append(l, s)
		}
	})
	g.hold(64 * len(l))
	if g.faceLists == nil {
		g.faceLists = map[[3]int][]faceStart{}
	}
	g.faceLists[key] = l
	return l
}

// faceTop scores a face strip with the best beyond it.
func (g *Graph) faceTop(x faceStart) model.Score {
	nd := g.at(x.node)
	sc := x.score.Plus(g.scores[nd.top])
	sc.Blades += g.side.InWood(int(nd.k), int(nd.e))
	return sc
}

// faceLeads calls f with the best face strips that begin a path beyond a fixed blade at
// an entry, with every number of blades that may wait before the board, and the entry
// up to which these can stand.
func (g *Graph) faceLeads(st, e int, f func(q, before int, x faceStart)) {
	if !g.side.Starts() {
		return
	}
	top := g.Top(st, e)
	for q := 0; q <= g.waiting(e); q++ {
		l := g.faces(g.side.Moving-1-q, st, e)
		if len(l) == 0 {
			continue
		}
		if sc := g.faceTop(l[0]); sc.Cmp(&top) != 0 {
			continue
		}
		for _, x := range l {
			before := 0
			if q > 0 {
				before = g.waitsAt(x.node)
			}
			f(q, before, x)
		}
	}
}
