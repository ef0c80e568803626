// Package audit checks what a search says about a board before anybody cuts by it.
//
// It takes the problem and the claims of a result, works every one of them out
// again from the model, and lists what differs. It shares types with the search
// and nothing else: neither runs nor scores, account, packing or order of plans.
// The rules stand here a second time on purpose, and by other methods where there
// are any, so that a mistake in the one is no mistake in the other:
//
//   - Runs come from one walk along the board, both edges at a time; the search
//     intersects what each edge leaves.
//   - Areas come from the wood below a height, in 128 bits; the search clamps
//     trapezoids band by band and rounds each.
//   - Packings are tried by branch and bound; the search lists all of them.
//
// What it cannot do is find a better plan: that a plan is the optimum is claimed by
// a bound, and of the bound only what the plans at hand refute is seen.
//
// # Cost
//
// With b blades, s stations, d defects and r runs, a plan costs O(b (s + d + r)) and
// at most mostNodes nodes of the search for better packings; where the board is clear
// a strip costs O(1). Nothing is iterated until it converges, so there is nothing to
// poll. A result has at most 21 plans. For the largest request a plan's audit takes a
// third of reading the request at most, and 21 plans a quarter of writing them out; see
// the benchmark in server/withhold.
package audit

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/wood"
)

// Kind of a difference: which claim does not hold.
type Kind string

// The kinds.
const (
	Setting    Kind = "setting"     // travels, stops, fixed blades, order, gaps, skew
	Pockets    Kind = "pockets"     // which there are and where they are bounded
	Fit        Kind = "fit"         // an item in a pocket that it does not fit, or that is off
	Runs       Kind = "runs"        // runs and the counted length
	Pieces     Kind = "pieces"      // crosscut pieces
	Amounts    Kind = "amounts"     // what a strip counts towards its requirement
	Open       Kind = "open"        // more strips of an item than are open
	Worth      Kind = "worth"       // of a strip or of the plan
	Measures   Kind = "measures"    // deviation, strip area, blades in wood, travel
	Account    Kind = "account"     // where the wood goes
	RunnersUp  Kind = "runners_up"  // one twice, or out of order
	Proof      Kind = "proof"       // bound and proof
	Told       Kind = "instructed"  // what an operator wants of the board
	BrokenRule Kind = "broken_rule" // rules that a setting is said to break
)

// Kinds lists all kinds.
func Kinds() []Kind {
	return []Kind{Setting, Pockets, Fit, Runs, Pieces, Amounts, Open, Worth, Measures, Account, RunnersUp, Proof, Told, BrokenRule}
}

// Difference is one claim that does not hold.
type Difference struct {
	Kind Kind
	// Plan is 0 for the best plan and counts runners-up from 1.
	Plan int
	// Says tells it in numbers; it quotes no text of the problem.
	Says string
}

func (d Difference) String() string { return fmt.Sprintf("plan %d, %s: %s", d.Plan, d.Kind, d.Says) }

// Terms say what the saw's time costs, by which plans are compared: Price in
// billionths of money a second; 0: nothing. Turns says that a plan may turn the board.
type Terms struct {
	Pace  run.Pace
	Price int64
	Turns bool
}

// mostDifferences bounds how many are listed: one is enough to withhold a plan.
const mostDifferences = 20

// Result lists what is wrong with a result, nothing where all of it holds. The
// problem must be without faults; the result may be anything.
func Result(p *rip.Problem, t Terms, r *rip.Result) []Difference {
	a := auditor{p: p, terms: t}
	a.result(r)
	return a.found
}

// Checked is Result for a setting that someone else chose, scored beside the
// optimum.
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

// auditor goes through one result.
type auditor struct {
	p       *rip.Problem
	terms   Terms
	asked   *instructed.Instructions // nil: nobody instructed it
	lies    lying                    // the board as the plan at hand has it lie
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

// valid goes through a plan of the search, which has to keep every rule.
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

// setting goes through a plan whose positions someone else chose.
func (a *auditor) setting(p *rip.Plan, broken bool) bool {
	if !a.shaped(p) {
		return false
	}
	if says := a.breaks(p); (says != "") != broken {
		a.differ(BrokenRule, "said to be broken %v; %s", broken, says)
	}
	a.score(p)
	return true
}

// score goes through what a plan is and what it comes to.
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
