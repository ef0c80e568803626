package rip

import (
	"math/bits"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

type worth = unit.Worth

// score is what plans and parts of plans are compared by.
type score = model.Score

func sign(v int64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

func maxWorth(a, b worth) worth {
	if a.Cmp(b) >= 0 {
		return a
	}
	return b
}

func minWorth(a, b worth) worth {
	if a.Cmp(b) <= 0 {
		return a
	}
	return b
}

// divCeil divides a non-negative worth, rounding up.
func divCeil(a worth, b int64) worth {
	hi, r := bits.Div64(0, uint64(a.Hi), uint64(b))
	lo, r := bits.Div64(r, a.Lo, uint64(b))
	w := worth{Hi: int64(hi), Lo: lo}
	if r != 0 {
		w = w.Add(worth{Lo: 1})
	}
	return w
}

// times multiplies a non-negative worth by a non-negative n.
func times(a worth, n int64) worth {
	hi, lo := bits.Mul64(a.Lo, uint64(n))
	return worth{Hi: int64(hi) + a.Hi*n, Lo: lo}
}
