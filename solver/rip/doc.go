// Package rip finds the most valuable way to rip one board on one saw for one
// cut order, and proves it.
//
// # Method
//
// A plan says where the fence and each blade stand and which item each pocket between two
// blades is for. Its worth is the sum over its pockets, and the worth of a pocket depends
// only on the heights of its two sides on the board. So the best plan is a path through
// heights, blade by blade, and dynamic programming finds it. Three things complicate
// this: the fence, which moves all fixed blades at once, caps on items that are nearly
// full, and ties, of which the one with the least travel is wanted.
//
// The picture method.svg beside this file is drawn from a real solve and shows the steps.
//
//  1. Start heuristics (internal/search/incumbent) find good plans at once, so that a search
//     which is stopped early has one. Every plan is scored by code that no bound shares.
//  2. Tables (internal/search/costtogo) hold, for each height and each number of moving
//     blades still to come, the most that these can bring beyond a blade which stands
//     there: the cost-to-go of the dynamic programme, one table towards each edge. They
//     leave out caps and travels, so they bound from above, and they do not depend on the
//     fence, so one table serves all its stops.
//  3. A stop of the fence puts the outermost fixed blades at two heights. One entry of each
//     table and the pockets between the fixed blades bound every plan there: a few additions
//     per stop (internal/search/fences).
//  4. Where the bound is greatest, the paths that reach it are followed through the tables:
//     layers of the heights at which each blade may stand, all ties of the greatest bound
//     (internal/search/layered). Scoring them exactly, and then halving the remaining stops
//     by the least travel that their paths can have, leaves one plan.
//  5. If that plan keeps all caps and travels, its score meets the bound, and it is the
//     best. Otherwise the caps that it breaks get states in the tables
//     (internal/search/resource), or labels with exact amounts, the travels are cut into
//     halves, and steps 2 to 4 are repeated.
//
// Defects make the worth of a strip depend on both its sides, but only by which defects
// it meets, and that changes only at their own edges: between these the tables treat
// strips as on a clear board, with what they count there. Pieces to which a strip is
// crosscut are valued in the same way.
//
// What the tables do not serve (a skew, offcuts that are fed again, runners-up, fixed
// arbors) is solved by a search by intervals: branch and bound over intervals of fence
// stops, each bounded blade by blade, with labels for partial plans if the bounds leave
// it open. A plan is called proven if a bound on all plans, from tables or intervals,
// equals its score, which uses neither.
//
// # Cost
//
// Let n be the stops across the board (its width over the step), k the items, q the
// states of the caps that bounds keep (at most 12), e the stations, and m the moving
// blades at one end of the arbor with no fixed one beyond.
//
//   - Runs are measured once for each height, in O(e), and remembered: O(n e) at
//     most, and a few dozen heights if all moving blades stand beside a fixed one.
//     Bands between both edges are measured each time, and so are bands with
//     defects, except by the tables, which measure bands between the edges of the
//     same defects once.
//   - Bounding an interval of fences takes O(k q) for each fixed blade. Intervals
//     are halved, so at least log2 of the fence's stops must be bounded.
//   - With m > 1 a table is made for each further blade: O(n (k + r)), r the widths
//     of ranges in stops; where the board is clear from end to end and level, an
//     entry is copied from the one before.
//   - Without a fixed blade the ceiling takes O(q n (k + r)), times m if the number
//     of blades binds; if more caps bind than states keep, it is made up to 40 times
//     more to tune tolls for them.
//
// So time grows at most about linearly with each size, and with the square of the stops
// per millimetre if ranges are cut beyond fixed blades, as long as the bounds leave few
// intervals and cuttings open. That is not guaranteed: the problem contains the knapsack
// problem (a cap of one on every item), and there are boards for which the search must
// try exponentially many cuttings. The limits of work and time are for those.
package rip
