package planning

import (
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/quote"
)

var byWhat = map[quote.Policy]string{
	quote.Planned: "planned values", quote.Own: "the order's own values", quote.Yield: "yield alone",
}

// undone describes what a limit left undone of a quote.
func (in *quoting) undone(r *quote.Result) string {
	var all []string
	for _, p := range in.options.Policies {
		ended := 0
		for i := range r.Outcomes {
			if r.Outcomes[i].Policy == p {
				ended = r.Outcomes[i].Runs
			}
		}
		if ended < in.options.Runs {
			all = append(all, fmt.Sprintf("%d of %d simulations by %s did not end in time", in.options.Runs-ended, in.options.Runs, byWhat[p]))
		}
	}
	if r.Plan.Stopped {
		all = append(all, "values were not planned to the end")
	}
	if in.unweighed > 0 {
		all = append(all, fmt.Sprintf("what it costs to leave a lot, or one more pack saves, is not known of %d of %d lots", in.unweighed, len(in.buys)))
	}
	return strings.Join(all, "; ")
}

// undone describes what a limit left undone of a planning of the arbor.
func (in *setting) undone(r *arbor.Result) string {
	if r.Today.Boards == 0 {
		return "no setting was tried, not even today's"
	}
	if r.Today.Boards < len(in.problem.Boards) {
		return fmt.Sprintf("no setting was tried on more than %d of %d boards", r.Today.Boards, len(in.problem.Boards))
	}
	all := []string{fmt.Sprintf("%d of at most %d settings were tried for the suggestions", r.Tried, in.options.Settings)}
	if n := len(r.Best); n > 0 && r.Best[n-1].Boards < len(in.problem.Boards) {
		all = append(all, fmt.Sprintf("suggestions were tried on %d of %d boards only", r.Best[n-1].Boards, len(in.problem.Boards)))
	}
	if r.FixedOnly == nil {
		all = append(all, "no gang of fixed blades was tried")
	}
	if r.MoreMoving == nil {
		all = append(all, "no further moving blade was tried")
	}
	return strings.Join(all, "; ")
}
