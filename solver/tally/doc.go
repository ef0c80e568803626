// Package tally measures packs of lumber: what was received, by every rule that the trade
// uses; how far that differs from the supplier's tally, and whether measurement error can
// explain it; what is left once boards are consumed; and how accurate each supplier's
// tallies have been.
//
// # Rules
//
// Lengths are whole nanometres, and every sum is of integers or rational numbers, so
// totals are exact and do not depend on the order of addition. The nominal thickness is
// the pack's. Stock thinner than 1 in counts as 1 in, except in the two volumes.
//
//   - SurfaceMeasure: width in inches with its fraction, times length rounded down to
//     the whole foot, over 12, to the nearest whole square foot for each board; of the
//     exact halves in a tally the first is rounded up, the second down, and so on in
//     turn. The sum is multiplied by the thickness.
//   - EndTally: width to the nearest whole inch, exact halves up and down in turn;
//     length rounded down to the whole foot; width times length over 12 is not rounded
//     further. The sum is multiplied by the thickness.
//   - BlockTally: all boards of one length, rounded down to the whole foot, are laid
//     edge to edge and measured as one block: the sum of their widths, to the nearest
//     whole inch, exact halves up and down in turn from the shortest block to the
//     longest; times length over 12, times the thickness. (Common practice; no published
//     rule was found.)
//   - ExactVolume: the face as measured times the nominal thickness, unrounded.
//   - MetricVolume: the face as measured times the thickness as measured (nominal if
//     it was not measured), unrounded: the solid wood, in cubic metres.
//
// Rounding in turn starts afresh with "up" for each pack, and for each part of a pack
// that is tallied alone. Splitting a pack therefore leaves both volumes unchanged and
// changes the others by no more than their rounding allows: surface measure by at most 1
// square foot; end tally by at most an inch of width on each board of the second part
// whose width is an exact half; block tally by at most 1 in of width in each block.
//
// # Gross and net
//
// Allowance says how a gross (green) figure becomes a net (kiln-dried) one.
//
// # What measurement error explains
//
// See Instrument.
package tally
