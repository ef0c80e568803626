package fences

import (
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// mostCells bounds the numbers that the tables hold.
const mostCells = 1 << 21

// Off has Serves serve nothing. Only what compares searches sets it.
var Off bool

// Serves reports whether Solve can find the best plan of a problem: the one place
// that says what it does not know. It looks at what is asked, not at how hard it is.
func Serves(b *wood.Board, s *saw.Saw, items []order.Item) bool {
	if Off || b.StraightNear || s.Skew > 0 || s.Rerip.Width > 0 || s.Kerf == 0 {
		return false
	}
	for _, st := range b.Stations {
		if st.Near >= st.Far { // wood lies apart across: a blade between cuts none
			return false
		}
	}
	for i := range items {
		if len(items[i].Cuts) > 0 {
			return false
		}
	}
	first, last, moving := -1, -1, 0
	for j, bl := range s.Blades {
		if bl.Moving {
			moving++
			continue
		}
		if bl.At%s.Step != 0 {
			return false
		}
		if first < 0 {
			first = j
		}
		last = j
	}
	if first < 0 || moving != first+len(s.Blades)-1-last {
		return false // none fixed, or some that move between fixed ones
	}
	near, _, _, far := b.Span()
	return int64(far-near)/int64(s.Step)*int64(moving+2)*2 <= mostCells
}

// Pays reports whether Solve is faster than intervals of fences (package rip), on a
// saw that it Serves: where two blades or more move beyond a fixed one. On broadly
// drawn boards of 90 to 380 mm M F F M takes 0.1 ms by intervals and 0.35 here, six
// fixed blades 0.05 and 0.9; F F M M 3.8 and 0.4, M M F M M 27 and 0.5.
func Pays(s *saw.Saw) bool {
	for j := 1; j < len(s.Blades); j++ {
		if s.Blades[j].Moving && s.Blades[j-1].Moving {
			return true
		}
	}
	return false
}

// plain reports whether no want refuses a defect of the board.
func plain(m *model.Model) bool {
	for i := range m.Wants {
		if len(m.Wants[i].Refused) > 0 {
			return false
		}
	}
	return true
}
