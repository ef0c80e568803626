package model

import (
	"cmp"
	"slices"

	"github.com/ripwright/ripwright/solver/internal/search/packing"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// None stands for no want in a pocket.
const None = -1

// Want is an item that may be cut from this board.
type Want struct {
	Index  int // among the wants
	Item   int // in the order
	It     *order.Item
	Lo, Hi int64 // widths that fit
	Cap    int   // index among the capped wants, or None
	Open   int64 // what is still open, in the item's measure; capped wants only
	Least  int64 // nm: a shorter run does not count
	Full   Cut   // of a strip that is clear from end to end
	// Refused are the defects that break a run, by their indices in the model's gaps.
	Refused []int16
	packing *packing.Lengths // nil: it is not crosscut
}

// Cut is what the runs of a pocket give a want: their counted length in micrometres, the
// pieces towards a requirement in pieces, and the worth of the pieces to which they are
// crosscut, in millionths of money.
type Cut struct{ N, Pieces, Value int64 }

// mostOpen limits an open area: far above what one board can yield, far below an
// overflow.
const mostOpen = int64(4_000_000_000_000_000_000)

func (m *Model) addWant(i int, it *order.Item, lengths *packing.Lengths) {
	open, limited := it.Open()
	if limited && open == 0 {
		return // the item is full
	}
	if it.GreatestLength > 0 && it.GreatestLength < m.Board.Length {
		return
	}
	if it.Measure == order.ByArea {
		if open > mostOpen/1000 {
			open = mostOpen
		} else {
			open *= 1000
		}
	}
	w := Want{Index: len(m.Wants), Item: i, It: it, Lo: int64(it.Min), Hi: int64(it.Max), Cap: None, Open: open,
		Least: int64(it.LeastLength), Refused: m.refused(it)}
	if len(it.Cuts) > 0 {
		if lengths == nil {
			return
		}
		w.packing, w.Least = lengths, max(w.Least, lengths.Shortest())
	}
	if w.Least > m.Length*1000 {
		return
	}
	w.Full = w.count([]wood.Stretch{{From: 0, To: unit.Run(m.Length)}})
	if !it.Random {
		t := int64(it.Off(m.Saw.Step))
		w.Lo, w.Hi = w.Lo-t, w.Hi+t
	}
	w.Lo = max(w.Lo, m.Least)
	if w.Lo > w.Hi || w.Lo > m.OuterHi-m.OuterLo {
		return
	}
	if limited && m.canBind(&w) {
		w.Cap = m.Caps
		m.Caps++
	}
	m.Wants = append(m.Wants, w)
}

// refused lists the defects that an item does not accept. Items that accept the same
// kinds share a list.
func (m *Model) refused(it *order.Item) []int16 {
	if len(m.Gaps) == 0 {
		return nil
	}
	accepted := make([]bool, len(m.kinds))
	key := make([]byte, len(m.kinds))
	for _, kind := range it.Accepts {
		if k, ok := m.kinds[kind]; ok {
			accepted[k], key[k] = true, 1
		}
	}
	l, ok := m.lists[string(key)]
	if !ok {
		for n, k := range m.kindAt {
			if !accepted[k] {
				l = append(l, int16(n))
			}
		}
		m.lists[string(key)] = l
	}
	return l
}

// sortDefects puts the defects in order of x and numbers their kinds.
func (m *Model) sortDefects() {
	all := slices.Clone(m.Board.Defects)
	slices.SortStableFunc(all, func(a, b wood.Defect) int { return cmp.Compare(a.FromX, b.FromX) })
	m.kinds, m.lists = map[string]int{}, map[string][]int16{}
	for i := range all {
		k, ok := m.kinds[all[i].Kind]
		if !ok {
			k = len(m.kinds)
			m.kinds[all[i].Kind] = k
		}
		m.Gaps, m.kindAt = append(m.Gaps, all[i].Gap()), append(m.kindAt, k)
	}
}

// Crosscut reports whether strips of the want are worth their pieces: two runs may be
// worth more than a single one that holds both.
func (w *Want) Crosscut() bool { return w.packing != nil }

// AtMost bounds strips that count at most a length.
func (w *Want) AtMost(n int64) Cut {
	c := Cut{N: n}
	if w.packing != nil {
		c.Value = w.packing.Worth(n, false)
	}
	return c
}

// Spotted reports whether defects may break the want's runs where the edges do not.
func (w *Want) Spotted() bool { return len(w.Refused) > 0 }

// Plain reports whether no want of the model is spotted.
func (m *Model) Plain() bool {
	return !slices.ContainsFunc(m.Wants, func(w Want) bool { return w.Spotted() })
}

// Crosscuts reports whether any want is crosscut.
func (m *Model) Crosscuts() bool {
	return slices.ContainsFunc(m.Wants, func(w Want) bool { return w.Crosscut() })
}

// canBind reports whether the strips of one board could overrun what is open by
// more than the last strip.
func (m *Model) canBind(w *Want) bool {
	pockets := int64(len(m.Blades) - 1)
	if m.Board.StraightNear {
		pockets++
	}
	strips := min(pockets, (m.OuterHi-m.OuterLo)/w.Lo)
	return strips > 1 && (strips-1)*w.Amount(w.Hi, w.Full) >= w.Open
}

// Counts reports whether a run is long enough to count.
func (w *Want) Counts(r wood.Stretch) bool {
	return int64(r.Length())*int64(unit.Micrometre) >= w.Least
}

// count adds up runs.
func (w *Want) count(runs []wood.Stretch) (c Cut) {
	for _, r := range runs {
		if !w.Counts(r) {
			continue
		}
		c.N += int64(r.Length())
		c.Pieces = w.It.Counting().Pieces(c.Pieces, r.Length())
		if w.packing != nil {
			c.Value += w.packing.Worth(int64(r.Length()), true)
		}
	}
	return c
}

// Cut gives what the band [p, q] gives a want.
func (m *Model) Cut(w *Want, p, q int64) Cut {
	if p < m.OuterLo || q > m.OuterHi {
		return Cut{}
	}
	lo, hi := unit.Length(p), unit.Length(q)
	m.runs = m.runs[:0]
	if len(w.Refused) == 0 {
		m.runs = m.Clear.Runs(m.runs, lo, hi)
	} else {
		m.bare = m.Clear.Runs(m.bare[:0], lo, hi)
		m.runs = wood.WithoutThose(m.runs, m.bare, m.Gaps, w.Refused, lo, hi)
	}
	return w.count(m.runs)
}

// ByWidth reports whether a wider strip of the same length is worth more, by the
// same amount from each width to the next.
func (w *Want) ByWidth() bool { return w.packing == nil && w.It.ByWidth() }

// Worth of a strip of a width with its counted runs.
func (w *Want) Worth(width int64, c Cut) unit.Worth {
	if w.packing != nil {
		return unit.WorthOf(c.Value, int64(unit.SquareMetre), 1).Add(w.It.Bonus)
	}
	return w.It.Worth(unit.Length(width), c.N)
}

// Amount of a strip towards its item's cap.
func (w *Want) Amount(width int64, c Cut) int64 {
	return w.It.Counting().Amount(unit.Length(width), c.N, c.Pieces)
}

// Strip scores a strip of a width with its counted runs.
func (w *Want) Strip(width int64, c Cut) Score {
	sc := Score{Worth: w.Worth(width, c), Area: width * c.N}
	if !w.It.Random {
		sc.Dev = max(width-int64(w.It.Min), int64(w.It.Min)-width)
	}
	return sc
}
