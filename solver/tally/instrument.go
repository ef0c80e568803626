package tally

import (
	"math"
	"math/big"

	"github.com/ripwright/ripwright/solver/unit"
)

// Error is the measurement error of one kind of reading.
type Error struct {
	SD   unit.Length // standard deviation of the part that differs from board to board
	Bias unit.Length // bound on the part that all boards share: calibration
}

// Instrument is the model of measurement error.
//
// A reading is the true size plus two errors: one independent for each reading, normal
// with mean 0 and standard deviation SD, and one shared by all readings, of which only a
// bound, Bias, is known. Thickness errors count only if thickness is measured, for
// MetricVolume.
//
// A supplier who tallied by the governing rule without a mistake should be accused of
// lacking wood in at most one case in forty, and credited with surplus wood in at most
// one in forty, whatever the pack: even if every board was cut to just make the next
// foot, so that every low reading costs a foot. For the three rules that round, each
// board therefore gets the benefit of the doubt: its sizes may be off by z SD + Bias,
// with z such that with probability 39/40 no reading of the whole pack is off by more (z
// is the normal quantile at 1 - 1/(40 k), k the number of readings). The tally is then at
// most the rule's sum over the largest sizes, halves up, and at least its sum over the
// smallest, halves down. For the two volumes, and for the summed widths of a block,
// errors of single boards even out: the bound is z times the root of the summed squares,
// plus the shared errors in full.
type Instrument struct {
	Width, Length, Thickness Error
}

// risk is the probability of a false claim in one direction.
const risk = 0.025

// quantile is the quantile function of the standard normal distribution.
func quantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// most is the error that, except with probability risk, none of that many readings
// exceeds.
func (e Error) most(readings int64, risk float64) unit.Length {
	z := quantile(1 - risk/float64(max(readings, 1)))
	return e.Bias + unit.Length(math.Ceil(z*float64(e.SD)))
}

// Range gives the least and the most board feet, by a rule, that the boards accepted by
// take can truly have, given their readings.
func (in Instrument) Range(r Rule, boards []Board, nominal unit.Length, take func(*Board) bool) (least, most *big.Rat) {
	switch r {
	case ExactVolume, MetricVolume:
		sum := Measure(boards, nominal, take).BoardFeet(r, nominal)
		by := ratOf(in.volume(r, boards, nominal, take))
		least = new(big.Rat).Sub(sum, by)
		return notNegative(least), new(big.Rat).Add(sum, by)
	case BlockTally:
		return in.block(boards, nominal, take)
	case SurfaceMeasure, EndTally:
	}
	n := pieces(boards, take)
	w, l := in.Width.most(2*n, risk), in.Length.most(2*n, risk)
	var low, high int64
	for i := range boards {
		b := &boards[i]
		if take != nil && !take(b) {
			continue
		}
		low += b.Pieces * rounded(r, max(b.Width-w, 0), max(b.Length-l, 0), false)
		high += b.Pieces * rounded(r, b.Width+w, b.Length+l, true)
	}
	parts := int64(1)
	if r == EndTally {
		parts = inchesInFoot
	}
	return thick(low, parts, nominal), thick(high, parts, nominal)
}

// rounded is what one board of this size counts for, with exact halves up or down.
func rounded(r Rule, w, l unit.Length, up bool) int64 {
	t, ft := turns{down: !up}, feet(l)
	if r == EndTally {
		return ft * t.nearest(int64(w), int64(unit.Inch), 1)
	}
	return t.nearest(int64(w)*ft, inchesInFoot*int64(unit.Inch), 1)
}

func pieces(boards []Board, take func(*Board) bool) (n int64) {
	for i := range boards {
		if take == nil || take(&boards[i]) {
			n += boards[i].Pieces
		}
	}
	return n
}

// volume gives the greatest error of a volume in board feet: z times the root of
// the summed variances of independent errors, and the shared errors in full.
func (in Instrument) volume(r Rule, boards []Board, nominal unit.Length, take func(*Board) bool) float64 {
	sq := func(x float64) float64 { return x * x }
	ft := func(l unit.Length) float64 { return float64(l) / float64(unit.Foot) }
	inch := func(l unit.Length) float64 { return float64(l) / float64(unit.Inch) }
	sw, sl, st := ft(in.Width.SD), ft(in.Length.SD), inch(in.Thickness.SD)
	bw, bl, bt := ft(in.Width.Bias), ft(in.Length.Bias), inch(in.Thickness.Bias)
	var variance, shared float64
	for i := range boards {
		b := &boards[i]
		if take != nil && !take(b) {
			continue
		}
		n, w, l, t := float64(b.Pieces), ft(b.Width), ft(b.Length), inch(nominal)
		v := sq(l*sw) + sq(w*sl) + sq(sw*sl)
		e := l*bw + w*bl + bw*bl
		if measured := r == MetricVolume && b.Thickness > 0; measured {
			t = inch(b.Thickness)
			variance += n * (sq(t)*v + sq(w*l)*sq(st) + v*sq(st))
			shared += n * (t*e + w*l*bt + e*bt)
			continue
		}
		variance += n * sq(t) * v
		shared += n * t * e
	}
	return quantile(1-risk)*math.Sqrt(variance) + shared
}

// block bounds a block tally: half of the risk is for lengths that cross a whole foot,
// half for the summed widths.
func (in Instrument) block(boards []Board, nominal unit.Length, take func(*Board) bool) (least, most *big.Rat) {
	l := in.Length.most(pieces(boards, take), risk/2)
	var low, high, squares float64 // inches times feet
	var blocks [mostFeet + 2]bool
	for i := range boards {
		b := &boards[i]
		if take != nil && !take(b) {
			continue
		}
		n, w, bias := float64(b.Pieces), float64(b.Width)/float64(unit.Inch), float64(in.Width.Bias)/float64(unit.Inch)
		short, long := feet(max(b.Length-l, 0)), min(feet(b.Length+l), mostFeet+1)
		low += n * max(w-bias, 0) * float64(short)
		high += n * (w + bias) * float64(long)
		squares += n * float64(long*long)
		for ft := short; ft <= long; ft++ {
			blocks[ft] = true
		}
	}
	by := quantile(1-risk/2) * float64(in.Width.SD) / float64(unit.Inch) * math.Sqrt(squares)
	for ft, used := range blocks {
		if used {
			by += float64(ft) / 2 // rounding of the block itself
		}
	}
	one := thick(1, inchesInFoot, nominal)
	least, most = ratOf(low-by), ratOf(high+by)
	return notNegative(least.Mul(least, one)), most.Mul(most, one)
}

// ratOf converts a bound to a rational, so that sums with it stay exact.
func ratOf(f float64) *big.Rat { return new(big.Rat).SetFloat64(f) }

func notNegative(r *big.Rat) *big.Rat {
	if r.Sign() < 0 {
		return new(big.Rat)
	}
	return r
}
