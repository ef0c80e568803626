// Package audit checks what a search says about a board before anybody cuts by it.
//
// It takes the problem and the claims of a result, works out each claim again from the
// model, and lists the differences. It shares types with the search but no code: neither
// runs nor scores, account, packing or the order of plans. The rules are written again
// here, by other methods if there are any, so that the search and the audit do not
// share mistakes:
//
//   - Runs come from one walk along the board, both edges at a time; the search
//     intersects what each edge leaves.
//   - Areas come from the wood below a height, in 128 bits; the search clamps
//     trapezoids band by band and rounds each.
//   - Packings are tried by branch and bound; the search lists all of them.
//
// It cannot find a better plan. The claim that a plan is the optimum rests on a bound,
// and the audit refutes a bound only if a plan at hand exceeds it.
//
// # Cost
//
// With b blades, s stations, d defects and r runs, a plan costs O(b (s + d + r)) and at
// most mostNodes nodes of the search for better packings; if the board is clear, a strip
// costs O(1). Nothing iterates until it converges, so there is no stop to poll. A result
// has at most 21 plans. For the largest request, auditing one plan takes at most a third
// of the time that reading the request takes, and auditing 21 plans a quarter of writing
// them out; see the benchmark in server/withhold.
package audit

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/wood"
)

// Kind says which claim does not hold.
type Kind string

// The kinds.
const (
	Setting    Kind = "setting"     // travels, stops, fixed blades, order, gaps, skew
	Pockets    Kind = "pockets"     // which there are and where they are bounded
	Fit        Kind = "fit"         // an item in a pocket that it does not fit, or an item that is full
	Runs       Kind = "runs"        // runs and the counted length
	Pieces     Kind = "pieces"      // crosscut pieces
	Amounts    Kind = "amounts"     // what a strip counts towards its requirement
	Open       Kind = "open"        // more strips of an item than are open
	Worth      Kind = "worth"       // of a strip or of a plan
	Measures   Kind = "measures"    // deviation, strip area, blades in wood, travel
	Account    Kind = "account"     // where the wood goes
	RunnersUp  Kind = "runners_up"  // duplicates, or wrong order
	Proof      Kind = "proof"       // bound and proof
	Told       Kind = "instructed"  // an operator's instructions
	BrokenRule Kind = "broken_rule" // rules that a setting is reported to break
)

// Kinds lists all kinds.
func Kinds() []Kind {
	return []Kind{Setting, Pockets, Fit, Runs, Pieces, Amounts, Open, Worth, Measures, Account, RunnersUp, Proof, Told, BrokenRule}
}

// Difference is one claim that does not hold.
type Difference struct {
	Kind Kind
	// Plan is 0 for the best plan, or the number of a runner-up, from 1.
	Plan int
	// Says states the difference in numbers; it quotes no text of the problem.
	Says string
}

func (d Difference) String() string { return fmt.Sprintf("plan %d, %s: %s", d.Plan, d.Kind, d.Says) }

// Terms say what plans are compared by besides worth: Price is that of the saw's time in
// billionths of money a second, 0 if it costs nothing; Turns allows plans to turn the
// board.
type Terms struct {
	Pace  run.Pace
	Price int64
	Turns bool
}

// mostDifferences limits how many are listed: one is enough to withhold a plan.
const mostDifferences = 20

// Result lists the claims of a result that do not hold; nil: all hold. The problem must
// be free of faults; the result may be anything.
func Result(p *rip.Problem, t Terms, r *rip.Result) []Difference {
	a := auditor{p: p, terms: t}
	a.result(r)
	return a.found
}

// Checked is Result for a setting that someone else chose, scored beside the optimum.
func Checked(p *rip.Problem, t Terms, c *rip.Checked, best *rip.Result) []Difference {
	a := auditor{p: p, terms: t}
	if !a.result(best) {
		return a.found
	}
	if a.setting(c.Plan, len(c.Broken) > 0) && len(c.Broken) == 0 && a.net(c.Plan).Cmp(best.Bound) > 0 {
		a.differ(Proof, "the setting breaks no rule and is worth more than the bound")
	}
	return a.found
}

// Given lists what is wrong with the score of a setting that someone else chose.
func Given(p *rip.Problem, c *rip.Checked) []Difference {
	a := auditor{p: p}
	a.setting(c.Plan, len(c.Broken) > 0)
	return a.found
}

// auditor checks one result.
type auditor struct {
	p       *rip.Problem
	terms   Terms
	asked   *instructed.Instructions // nil: no instructions
	lies    lying                    // the board as it lies for the plan at hand
	plan    int                      // 0 for the best
	crossed bool                     // its blades are out of order
	found   []Difference

	runs, bare []wood.Stretch // scratch
	blocks     []wood.Stretch
	accepts    []bool
	spent      []spent
	packer     packer
	heights    heights
}

func (a *auditor) differ(k Kind, format string, args ...any) {
	if len(a.found) < mostDifferences {
		a.found = append(a.found, Difference{Kind: k, Plan: a.plan, Says: fmt.Sprintf(format, args...)})
	}
}

// result reports whether all plans have the shape of plans.
func (a *auditor) result(r *rip.Result) bool {
	if r == nil || r.Best == nil {
		a.differ(Pockets, "there is no plan")
		return false
	}
	if !a.valid(r.Best) {
		return false
	}
	for i, p := range r.RunnersUp {
		if a.plan = i + 1; !a.valid(p) {
			return false
		}
	}
	a.plan = 0
	a.compare(r)
	a.proof(r)
	return true
}

// valid checks a plan of the search, which must keep every rule.
func (a *auditor) valid(p *rip.Plan) bool {
	if !a.shaped(p) {
		return false
	}
	says := a.breaks(p)
	if p.Turn != wood.AsScanned && !a.terms.Turns {
		says = "the board is turned, which was not asked for"
	}
	if says != "" {
		a.differ(Setting, "%s", says)
		return false
	}
	a.score(p)
	return true
}

// setting checks a plan whose positions someone else chose.
func (a *auditor) setting(p *rip.Plan, broken bool) bool {
	if !a.shaped(p) {
		return false
	}
	if says := a.breaks(p); (says != "") != broken {
		a.differ(BrokenRule, "breaks a rule by the result: %v; by the audit: %q", broken, says)
	}
	a.score(p)
	return true
}

// score checks what a plan consists of and what it is worth.
func (a *auditor) score(p *rip.Plan) {
	a.lies.lay(&a.p.Board, a.p.Saw.Trim, p.Turn, p.Skew)
	a.packer.nodes = mostNodes
	a.crossed = false
	for i := 1; i < len(p.Blades); i++ {
		a.crossed = a.crossed || p.Blades[i] < p.Blades[i-1]+a.p.Saw.Kerf
	}
	a.pockets(p)
	a.open(p)
	a.measures(p)
	a.account(p)
}
