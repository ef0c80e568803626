package values

// Tolerances of floating point. None affects the bound, which is exact (bound.go). A
// programme measures rows and costs in units that make all numbers near 1, so these are
// approximately relative tolerances.
const (
	// tolerance is the reduced cost that the library treats as zero: some digits above the
	// precision of a float64, which pivots lose.
	tolerance = 1e-11
	// pivotAbove is the least size of a pivot: the library treats less as zero.
	pivotAbove = 1e-13
	// solvedWithin is how far a solution of the library may miss a row: policies that are
	// nearly alike make bases nearly singular.
	solvedWithin = 1e-7
	// paidWithin is how far the rows' values may overpay a policy of the programme: more
	// than the error of solving a good basis, far less than any gap asked for.
	paidWithin = 1e-9
	// gainsAbove is the least excess of a policy's worth over its cost to enter the
	// programme. With less than tolerance the library would not use it, and it would
	// return in every round.
	gainsAbove = 10 * tolerance
	// usedWithin is how near its cost a policy's worth must be for it to count as in use;
	// those idle for long are dropped when there are many.
	usedWithin = 1e-9
	// belowBound is how far a cost may lie below the bound, which is exact while the cost
	// is a sum of floats. More than that shows that the arithmetic has failed.
	belowBound = 1e-9
	// cheaperBy is how much cheaper a plan in whole boards must be to be looked for: sums
	// of some thousand costs are off by less.
	cheaperBy = 1e-12
	// wholeWithin is how far from a whole number a number of boards, or of multiples of
	// the common divisor of costs, may be and still count as whole.
	wholeWithin = 1e-9
	// areaMargin lowers the bound by area alone: faces and costs are summed as floats,
	// with errors far smaller than this.
	areaMargin = 1e-6
)

// apart is the perturbation of what is wanted. With it no basis is degenerate: the
// columns that a solution uses are its basis, which the library does not return, and the
// library never cycles.
const apart = 1e-7

// aparts are tried if the columns cannot be identified or the library fails, and
// simplexAparts if a start is given, which is first tried unperturbed.
var (
	aparts        = []float64{apart, 10 * apart, 100 * apart}
	simplexAparts = []float64{0, apart / 100, apart / 10, apart, 10 * apart}
)
