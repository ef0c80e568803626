package command

import (
	"context"
	"fmt"
	"strings"
	"text/tabwriter"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// compared is a setting from a file and the best plan for its board.
type compared struct {
	board
	*ripwrightv1.CheckPlanResponse
}

// settings reads a file of settings, in the order of their boards.
func (j *job) settings(name string) ([]source, error) {
	f, err := j.t.open(name, files.Settings)
	if err != nil {
		return nil, err
	}
	all, count := make([]source, len(j.boards)), map[string]int{}
	for _, b := range j.boards {
		count[b.GetBoardId()]++
	}
	for i := range f.Messages {
		id, at := f.BoardID(i), source{f, i}
		if id == "" || count[id] != 1 {
			return nil, input("%s is %q, the name of %s; it must name exactly one board", at.at("board_id"), id, many(count[id], "board"))
		}
		for k, b := range j.boards {
			if b.GetBoardId() != id {
				continue
			}
			if all[k].file != nil {
				return nil, input("%s is %q, which already has a setting above", at.at("board_id"), id)
			}
			all[k] = at
		}
	}
	return all, nil
}

// compare scores a file of settings, board by board. What a setting makes counts towards
// the order before the next, in the sequence in which they were sawn.
func (j *job) compare(ctx context.Context, s *remote, name string, how *search) error {
	settings, err := j.settings(name)
	if err != nil {
		return err
	}
	r := newComparing(j.t)
	for k, b := range j.boards {
		at := settings[k]
		if at.file == nil {
			continue
		}
		set := &ripwrightv1.Setting{}
		if err := at.file.About(at.index, set); err != nil {
			return failed(err)
		}
		q := &ripwrightv1.CheckPlanRequest{Board: b.Board, Order: j.order, Options: how.options(), Setting: set}
		j.choose(q)
		where := j.where(b, func(path string) (string, bool) { return at.at(strings.TrimPrefix(path, "setting.")), true })
		a, err := call(ctx, j.t, s.CheckPlan, q, where)
		if err != nil {
			r.abandon()
			return fmt.Errorf("board %s: %w", b.name(), err)
		}
		if err := r.add(compared{b, a}, where); err != nil {
			return failed(err)
		}
		j.made(a.GetFills())
		if len(a.GetBrokenRules()) == 0 {
			j.stand(a.GetPlan()) // a saw cannot stand where it breaks a rule
		}
	}
	return r.end()
}

// comparing shows settings beside the best plans, one row per board.
type comparing struct {
	t                 *tool
	table             *tabwriter.Writer
	n, broken         int
	worth, best, face float64
	strip, bestStrip  float64
	rules             []string
}

func newComparing(t *tool) *comparing {
	r := &comparing{t: t}
	if !t.json && !t.csv {
		r.table = newTable(t.out)
		fmt.Fprintln(r.table, "board\tthe setting makes\tworth\tyield\tthe best plan makes\tworth\tyield\tmore\trules")
	}
	return r
}

func (r *comparing) add(c compared, where func(string) string) error {
	p, q := c.GetPlan(), c.GetOptimum()
	r.n++
	r.worth, r.best = r.worth+p.GetWorth(), r.best+q.GetWorth()
	r.face += p.GetAccount().GetFaceM2()
	r.strip, r.bestStrip = r.strip+p.GetAccount().GetStripM2(), r.bestStrip+q.GetAccount().GetStripM2()
	rules := "kept"
	if n := len(c.GetBrokenRules()); n > 0 {
		r.broken++
		rules = many(n, "rule") + " broken"
		for _, b := range c.GetBrokenRules() {
			r.rules = append(r.rules, "board "+c.name()+": "+where(b.GetPath())+" "+b.GetSays())
		}
	}
	switch {
	case r.t.json:
		return r.t.writeJSON(c.CheckPlanResponse)
	case r.t.csv:
		return r.row(c)
	}
	_, err := fmt.Fprintf(r.table, "%s\t%s\t%.2f\t%.1f %%\t%s\t%.2f\t%.1f %%\t%.2f\t%s\n", c.name(), strips(p), p.GetWorth(), 100*p.GetAccount().GetYieldRatio(),
		strips(q), q.GetWorth(), 100*q.GetAccount().GetYieldRatio(), c.GetDistance(), rules)
	return err
}

func (r *comparing) row(c compared) error {
	var rows [][]string
	if r.n == 1 {
		rows = append(rows, []string{"board_id", "worth", "yield_ratio", "best_worth", "best_yield_ratio", "distance", "proven", "broken_rules"})
	}
	var broken []string
	for _, b := range c.GetBrokenRules() {
		broken = append(broken, b.GetPath()+" "+b.GetSays())
	}
	p, q := c.GetPlan(), c.GetOptimum()
	return r.t.rows(append(rows, []string{c.name(), exactly(p.GetWorth()), exactly(p.GetAccount().GetYieldRatio()), exactly(q.GetWorth()),
		exactly(q.GetAccount().GetYieldRatio()), exactly(c.GetDistance()), yesNo(c.GetProof().GetProven()), strings.Join(broken, "; ")}))
}

// abandon ends the output where it was interrupted.
func (r *comparing) abandon() {
	if r.table != nil && r.n > 0 {
		_ = r.table.Flush()
	}
}

func (r *comparing) end() error {
	r.abandon()
	if r.table != nil && r.n > 0 {
		for _, rule := range r.rules {
			fmt.Fprintf(r.t.out, "Breaks a rule: %s\n", rule)
		}
		fmt.Fprintf(r.t.out, "\n%s: the settings are worth %.2f, yield %.1f %%; the best plans %.2f, yield %.1f %%", many(r.n, "board"), r.worth, 100*r.strip/r.face, r.best, 100*r.bestStrip/r.face)
		if r.worth > 0 {
			fmt.Fprintf(r.t.out, ", %.1f %% more", 100*(r.best-r.worth)/r.worth)
		}
		fmt.Fprintln(r.t.out)
	}
	if r.broken > 0 {
		return coded{fmt.Errorf("%s of %d break rules; do not saw by them", many(r.broken, "setting"), r.n), statusBroken}
	}
	return nil
}
