package layered

import "unsafe"

// change is a node's bound before it was raised.
type change struct {
	id, kind int32
	least    int64
}

// changesHeld is how many changes are allocated at once.
const changesHeld = 1024

// mostChanges is how many changes are kept: 16 MiB. They are only there to undo what a
// part of the fences has taught; where they end, all that is known is forgotten instead.
// On boards of 100,000 heights there were millions.
const mostChanges = 1 << 20

// trailLeaves is how many bytes are left to what cannot be done without.
const trailLeaves = 1 << 20

// trail is what was learnt since the first Mark.
type trail struct {
	pages [][]change // of changesHeld
	held  int        // pages that are counted
	from  int        // changes before were forgotten
	end   int
	logs  bool // whether there was a Mark
	lost  bool // changes are missing: what is known holds for the fences at hand only
}

func (t *trail) bytes() int { return changesHeld * int(unsafe.Sizeof(change{})) * len(t.pages) }

// at gives one that is not forgotten.
func (t *trail) at(i int) *change {
	i -= t.from
	return &t.pages[i/changesHeld][i%changesHeld]
}

// clear forgets all changes.
func (t *trail) clear() { *t = trail{pages: t.pages, held: t.held} }

// log keeps a change, if there is room.
func (g *Graph) log(c change) {
	t := &g.trail
	n := t.end - t.from
	if t.lost = t.lost || n == mostChanges; t.lost {
		return
	}
	if n == t.held*changesHeld {
		bytes := int64(changesHeld * unsafe.Sizeof(c))
		if t.lost = !g.budget.Fits(bytes+trailLeaves) || !g.budget.Hold(bytes); t.lost {
			return
		}
		if t.held++; t.held > len(t.pages) {
			t.pages = append(t.pages, make([]change, changesHeld))
		}
	}
	t.end++
	*t.at(t.end - 1) = c
}

// Mark says how much has been learnt since Within that can be undone: what is learnt from
// the first mark on.
func (g *Graph) Mark() int {
	g.trail.logs = true
	return g.trail.end
}

// Undo undoes what was learnt between two marks; all that was learnt later must be undone
// already. Redo reverses it.
func (g *Graph) Undo(from, to int) {
	t := &g.trail
	if t.lost {
		g.epoch++
		t.from, t.lost = t.end, false
		return
	}
	from = max(from, t.from)
	g.side.P.Over(max(to-from, 0))
	for i := to - 1; i >= from; i-- {
		g.swap(t.at(i))
	}
}

// Redo reverses Undo.
func (g *Graph) Redo(from, to int) {
	from = max(from, g.trail.from)
	g.side.P.Over(max(to-from, 0))
	for i := from; i < to; i++ {
		g.swap(g.trail.at(i))
	}
}

// Drop forgets what was learnt from a mark on and has been undone.
func (g *Graph) Drop(from int) {
	g.trail.end = from
	g.trail.from = min(g.trail.from, from)
}

func (g *Graph) swap(c *change) {
	nd := g.at(c.id)
	nd.least[c.kind], c.least = c.least, nd.least[c.kind]
	nd.stamp[c.kind] = 0
}
