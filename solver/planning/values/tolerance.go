package values

// What floating point may be off by. None of them bears on the bound, which is exact
// (bound.go). A programme measures rows and costs in units that make all numbers near 1,
// so these are parts of what they are compared with, or nearly.
const (
	// tolerance is what the library takes a reduced cost for nothing by: some digits
	// above those of a float64, which are left to what pivots lose.
	tolerance = 1e-11
	// pivotAbove is what a pivot has to be greater than: the library takes less for nothing.
	pivotAbove = 1e-13
	// solvedWithin is by how much what the library gives may miss a row and still be a
	// solution: policies that are nearly alike make bases nearly singular.
	solvedWithin = 1e-7
	// paidWithin is by how much the rows' values may overpay a policy of the programme:
	// more than solving a good basis is off by, far less than any gap that is asked for.
	paidWithin = 1e-9
	// gainsAbove is by how much a policy has to be worth more than it costs to enter the
	// programme. With less than tolerance the library would not use it, and it would
	// come again in every round.
	gainsAbove = 10 * tolerance
	// usedWithin is how near to its cost a policy's worth has to be for it to count as
	// in use; those idle for long are dropped when there are many.
	usedWithin = 1e-9
	// belowBound is by how much a cost may lie under the bound, which is exact where the
	// cost is a sum of floats. One further below shows that the arithmetic has failed.
	belowBound = 1e-9
	// cheaperBy is by how much a plan in whole boards has to be cheaper to be looked for:
	// sums of some thousand costs are off by less.
	cheaperBy = 1e-12
	// wholeWithin is how far off a whole number may be and still count as it, of boards
	// and of multiples of what costs have in common.
	wholeWithin = 1e-9
	// areaMargin is what the bound by area alone is lowered by: faces and costs are summed
	// as floats, which are off by far less.
	areaMargin = 1e-6
)

// apart is by how much what is wanted is moved. Then no column of a basis is left at
// nothing: the columns that a solution uses are its basis, which the library does not
// tell, and the library never goes round in circles.
const apart = 1e-7

// aparts are what is tried where the columns do not show, or the library fails, and
// simplexAparts where a start is given, which is tried unmoved first.
var (
	aparts        = []float64{apart, 10 * apart, 100 * apart}
	simplexAparts = []float64{0, apart / 100, apart / 10, apart, 10 * apart}
)
