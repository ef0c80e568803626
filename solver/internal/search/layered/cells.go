package layered

import "unsafe"

// cellLen is how many entries of a layer and state share a cell.
const cellLen = 64

// cell says what is known at entries side by side. A number up to the graph's base is one
// that an earlier graph has left, and stands for nothing.
type cell struct {
	node [cellLen]int32 // base + 1 + the node
	hub  [cellLen]int32 // base + 2 + the node of the first best start from an entry on, base + 1: no start; known at peaks and where asked for
}

const cellBytes = int(unsafe.Sizeof(cell{})) + 16 // with its place among all

// cells are made on demand: of many states, most layers have a few nodes.
type cells struct {
	at    []int32 // by layer, state and block of entries: 1 + its cell
	row   int     // blocks of a layer and state
	all   []*cell
	count int // of cells in use
	base  int32
}

// mostBase is where numbers in cells start again. A graph that starts where the last one
// ended need not clear what that has left, which took 5 % of all time.
const mostBase = 1 << 30

// reset empties cells whose numbers are at most base + used, for some layers and states
// of n entries.
func (c *cells) reset(used, layers, n int) {
	if c.base += int32(used) + 1; c.base > mostBase {
		for _, x := range c.all {
			*x = cell{}
		}
		c.base = 0
	}
	c.row, c.count = blocks(n), 0
	c.at = cleared(c.at, layers*c.row)
}

func blocks(n int) int { return (n + cellLen - 1) / cellLen }

func (c *cells) bytes() int { return 4*cap(c.at) + cellBytes*len(c.all) }

// cell gives the cell of an entry, nil if there is none.
func (g *Graph) cell(k, st, e int) *cell {
	if i := g.cells.at[(k*g.q+st)*g.cells.row+e/cellLen]; i > 0 {
		return g.cells.all[i-1]
	}
	return nil
}

// need is cell that makes one if there is the memory.
func (g *Graph) need(k, st, e int) *cell {
	c := &g.cells
	at := &c.at[(k*g.q+st)*c.row+e/cellLen]
	if *at == 0 {
		if !g.hold(cellBytes) {
			return nil
		}
		g.side.P.Over(cellLen)
		if c.count == len(c.all) {
			c.all = append(c.all, new(cell))
		}
		c.count++
		*at = int32(c.count)
	}
	return c.all[*at-1]
}

// hub gives the first best start from an entry on, or -1, if it is known.
func (g *Graph) hub(k, st, e int) (id int32, known bool) {
	if c := g.cell(k, st, e); c != nil && c.hub[e%cellLen] > g.cells.base {
		return c.hub[e%cellLen] - g.cells.base - 2, true
	}
	return -1, false
}

// keepHub keeps the first best start from an entry on.
func (g *Graph) keepHub(k, st, e int, id int32) {
	if c := g.need(k, st, e); c != nil {
		c.hub[e%cellLen] = g.cells.base + 2 + id
	}
}
