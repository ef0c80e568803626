package fences

import (
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// mostCells bounds the numbers that the tables hold.
const mostCells = 1 << 22

// Serves reports whether Solve can find the best plan of a problem: the one place
// that says what it does not know. It looks at what is asked, not at how hard it is.
func Serves(b *wood.Board, s *saw.Saw) bool {
	if s.Skew > 0 || s.Rerip.Width > 0 || s.Kerf == 0 {
		return false
	}
	for _, st := range b.Stations {
		if st.Near >= st.Far { // wood lies apart across: a blade between cuts none
			return false
		}
	}
	moving := 0
	for _, bl := range s.Blades {
		if bl.Moving {
			moving++
		}
	}
	if moving == 0 { // a bound of many fence stops at once is all that they need
		return false
	}
	near, _, _, far := b.Span()
	return int64(far-near)/int64(s.Step)*int64(moving+2)*2 <= mostCells
}

// Before gives how many steps a search by intervals of fences (package rip) is worth
// before Solve, on a saw that it Serves. Most boards of a line are done by then faster
// than here; those that are not may take it hundreds of times as long. Where two blades
// or more move beside a fixed one it is none: on broadly drawn boards of 90 to 380 mm
// F F M M takes 3.8 ms by intervals and 0.4 here, M M F M M 27 and 0.5. It depends on
// how many items there are, how many caps can bind, whether defects break runs and whether
// anything is crosscut. Beside a straight edge it is none either where a blade is fixed: of
// 37 broad boards of M F F M one was done by then.
//
// Where soon is not 0 a search that has not bounded its first interval by so many steps is
// to be left.
func Before(b *wood.Board, s *saw.Saw, items, caps int, spotted, crosscut bool) (steps, soon int64) {
	fixed, beside, between := 0, 0, false
	moves := false // since the last fixed one
	for j := range s.Blades {
		switch {
		case !s.Blades[j].Moving:
			between = between || moves && fixed > 0
			fixed++
			moves = false
		case j > 0 && s.Blades[j-1].Moving:
			beside++
		default:
			moves = true
		}
	}
	switch {
	case fixed == 0 && (spotted || caps > fewCaps):
		return 0, 0
	case fixed == 0 && crosscut:
		return beforeCrosscut, 0
	case fixed == 0:
		near, _, _, far := b.Span()
		return min(int64(far-near)/int64(s.Step)*int64(items)*3/2, beforeMoving), 0
	case beside > 0 || b.StraightNear:
		return 0, 0
	case spotted || crosscut && !between:
		return beforeSpotted, 0
	case between:
		return beforeBetween, betweenSoon
	}
	return beforeFixed, 0
}

// Steps for saws without a fixed blade, of some 30 ns, at most, and for those without moving
// ones side by side: with some between fixed ones, of 30, or without, of 90. Without a fixed
// blade both searches take the longer the more heights and items there are, so there are
// three steps for every two heights and items: on broad boards that takes a tenth less than
// 60,000 for every board.
const (
	beforeMoving  = 45_000
	beforeBetween = 15_000
	beforeFixed   = 30_000
)

// fewCaps is how many caps can bind where the search by intervals is worth a step without
// a fixed blade: of seven broad boards with more one was done within its steps, and by
// tables at once they took half as many instructions (0.18 to 1.09).
const fewCaps = 4

// betweenSoon is by when the search of a narrow board has its tables where blades move
// between fixed ones. Of 160 broad boards of F M F M and F M F M F M a quarter were done
// within 60,000 steps, and tables took half as long at the median.
const betweenSoon = 1_500

// The same on spoilt boards, from 12 arbors of the broad cases: without a fixed blade
// intervals take 5 to 100 times as many steps as tables where defects break runs, and
// hardly ever fewer where items are crosscut. Without moving blades side by side tables
// take 40 to 660 thousand steps and intervals mostly fewer, but for some boards of spans
// that take them tens of millions.
const (
	beforeCrosscut = 10_000
	beforeSpotted  = 300_000
)
