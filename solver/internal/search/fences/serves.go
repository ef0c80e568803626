package fences

import (
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/wood"
)

// mostCells limits the numbers in the tables.
const mostCells = 1 << 22

// Serves reports whether Solve can find the best plan of a problem: the one place that
// lists what it cannot solve. It depends on the kind of problem, not on how hard it is.
func Serves(b *wood.Board, s *saw.Saw) bool {
	if s.Skew > 0 || s.Rerip.Width > 0 || s.Kerf == 0 {
		return false
	}
	for _, st := range b.Stations {
		if st.Near >= st.Far { // the wood is in separate pieces across: a blade between cuts none
			return false
		}
	}
	moving := 0
	for _, bl := range s.Blades {
		if bl.Moving {
			moving++
		}
	}
	if moving == 0 { // they only need a bound over many fence stops at once
		return false
	}
	near, _, _, far := b.Span()
	return int64(far-near)/int64(s.Step)*int64(moving+2)*2 <= mostCells
}

// Before gives how many steps of a search by intervals of fences (package rip) pay before
// Solve, on a saw that it Serves. Most boards of a line are solved within them, faster
// than here; the others may take that search hundreds of times as long. With two or more
// blades that move beside a fixed one it is 0: on broadly drawn boards of 90 to 380 mm F
// F M M takes 3.8 ms by intervals and 0.4 ms here, M M F M M 27 and 0.5. It depends on
// the number of items, how many caps can bind, whether defects break runs and whether
// anything is crosscut. Beside a straight edge it is 0 too if a blade is fixed: of 37
// broad boards of M F F M one was solved by then.
//
// If soon is not 0, a search that has not bounded its first interval by that many steps
// is to be abandoned.
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

// Most steps for saws without a fixed blade, of about 30 ns, and for those without moving
// blades side by side: of 30 ns with some between fixed ones, otherwise of 90 ns. Without
// a fixed blade both searches take longer with more heights and items, so there are three
// steps for every two products of heights and items: on broad boards that takes a tenth
// less than 60,000 for every board.
const (
	beforeMoving  = 45_000
	beforeBetween = 15_000
	beforeFixed   = 30_000
)

// fewCaps is how many caps may bind for the search by intervals to pay without a fixed
// blade: of seven broad boards with more caps, one was solved within its steps, and
// tables at once took half as many instructions (0.18 to 1.09).
const fewCaps = 4

// betweenSoon is the number of steps by which the search of a narrow board must have its
// tables if blades move between fixed ones. Of 160 broad boards of F M F M and F M F M F
// M a quarter were solved within 60,000 steps, and tables took half as long at the
// median.
const betweenSoon = 1_500

// The same on spoilt boards, from 12 arbors of the broad cases: without a fixed blade
// intervals take 5 to 100 times as many steps as tables if defects break runs, and hardly
// ever fewer if items are crosscut. Without moving blades side by side tables take 40 to
// 660 thousand steps and intervals mostly fewer, but tens of millions on some boards with
// spans.
const (
	beforeCrosscut = 10_000
	beforeSpotted  = 300_000
)
