// Package tally measures packs of lumber: what came in, by every rule that the
// trade uses; how far that is from what the supplier tallied, and whether
// measurement error can explain it; what is left once boards are consumed; and
// how well each supplier's tallies have been met.
//
// # Rules
//
// Lengths are whole nanometres, and everything that is added up is an integer or
// a rational number, so totals are exact and do not depend on the order of
// adding. The nominal thickness is the pack's. Stock thinner than 1 in counts as
// 1 in, except in the two volumes.
//
//   - SurfaceMeasure: width in inches with its fraction, times length taken down
//     to the whole foot, over 12, to the nearest whole square foot for each
//     board; an exact half goes up for the first such board of the tally, down
//     for the second, and so on by turns. The sum is multiplied by the thickness.
//   - EndTally: width to the nearest whole inch, exact halves up and down by
//     turns; length down to the whole foot; width times length over 12 is not
//     rounded further. The sum is multiplied by the thickness.
//   - BlockTally: all boards of one length, taken down to the whole foot, are
//     laid edge to edge and measured as one block: the sum of their widths, to
//     the nearest whole inch, exact halves up and down by turns from the
//     shortest block to the longest; times length over 12, times the thickness.
//     (Common practice; no published rule was found.)
//   - ExactVolume: the face as measured times the nominal thickness, unrounded.
//   - MetricVolume: the face as measured times the thickness as measured (the
//     nominal one where none was), unrounded: the solid wood, in cubic metres.
//
// A tally starts afresh with "up" for each pack, and for each part of a pack that
// is tallied alone. Splitting a pack therefore leaves both volumes as they are
// and moves the others by no more than the turns allow: surface measure by at
// most 1 square foot; end tally by at most an inch of width on each board of the
// second part whose width is an exact half; block tally by at most 1 in of width
// in each block.
//
// # Gross and net
//
// Allowance says how a gross (green) figure becomes a net (kiln-dried) one.
//
// # What measurement error explains
//
// See Instrument.
package tally
