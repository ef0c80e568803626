package costtogo

import (
	"math/bits"

	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/unit"
)

// valued gives the values of strips of a kind by what they count. Unless strips are
// crosscut, worth is linear in that (order.Item.ByRun), so that one multiplication gives
// each value; rough edges ask for thousands.
type valued struct {
	p           *Profile
	x           *kind
	take        int64
	whole       bool // whether worth is linear
	least, step linear
}

// linear is a worth that rises with what a strip counts.
type linear struct {
	none unit.Worth
	per  uint64
}

func (p *Profile) valued(x *kind, take int64) valued {
	v := valued{p: p, x: x, take: take}
	if x.w.Crosscut() || p.shift >= 64 {
		return v
	}
	width := int64(x.lo)*p.M.Step - take
	ok := true
	line := func(of func(n int64) unit.Worth) (l linear) {
		l.none = of(0)
		per := of(1).Sub(l.none)
		ok = ok && per.Hi == 0
		l.per = per.Lo
		return l
	}
	v.least = line(func(n int64) unit.Worth { return x.w.Worth(width, model.Cut{N: n}) })
	if x.w.ByWidth() {
		v.step = line(func(n int64) unit.Worth { return x.w.It.Slope(unit.Length(p.M.Step), n) })
	}
	v.whole = ok
	return v
}

// of gives the value of a strip of lo stops that counts at most a length, and what each
// further stop adds.
func (v *valued) of(n int64) (value, slope int64) {
	switch {
	case !v.whole:
		return v.p.value(v.x, v.take, v.x.w.AtMost(n))
	case n == 0:
		return never, 0
	case v.step.per > 0:
		slope = v.p.times(&v.step, n)
	}
	return v.p.times(&v.least, n), slope
}

// times gives a linear worth in coarse units, rounded up.
func (p *Profile) times(l *linear, n int64) int64 {
	hi, lo := bits.Mul64(l.per, uint64(n))
	return p.Up(unit.Worth{Hi: int64(hi), Lo: lo}.Add(l.none))
}
