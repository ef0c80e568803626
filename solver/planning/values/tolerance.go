package values

// Tolerances of floating point. None affects the bounds, which are exact (bound.go,
// area.go), or whether a plan in whole boards is proven (judge in whole.go). A programme
// measures rows and costs in units that make all numbers near 1, so these are
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
	// draftNone is how much may be left of a row after a pass of a draft and count as
	// rounding.
	draftNone = 1e-9
	// wholeWithin is how far below a whole number the library's number of boards may be and
	// still count as that number.
	wholeWithin = 1e-9
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
