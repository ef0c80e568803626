package wire

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/ripwright/ripwright/proto/nearest"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/instructed"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
)

// Instructed is an operator's instructions for a job, and their outcome.
type Instructed struct {
	By instructed.Instructions
	// Outcome is nil until the job is solved.
	Outcome *instructed.Outcome

	paths    []string // of the instructions, in the order of instructed.Instructions.Only
	minYield *float64
}

// chooses reports whether any instruction chooses a plan.
func (n *Instructed) chooses() bool { return n != nil && n.By.Count() > 0 }

// Instructed gives the job's instructions that choose among plans; nil: there are none.
func (j *Job) Instructed() *Instructed {
	if !j.by.chooses() {
		return nil
	}
	return j.by
}

// instructions reads the operator's instructions for a job whose order and saw were read.
func (r *reader) instructions(j *Job, m *ripwrightv1.Instructions) {
	if m == nil {
		return
	}
	p, n := at(nil, "instructions"), &Instructed{}
	j.by = n
	if v := m.MinYieldRatio; v != nil {
		least := r.number(&p, "min_yield_ratio", *v, yieldRatio)
		n.minYield = &least
	}
	named := map[int]string{} // items, by the paths that name them
	wrong := func(what string) bool {
		return slices.ContainsFunc(r.faults, func(f fault.Fault) bool { return inside(what, f.Path) })
	}
	order, saw := wrong("order"), wrong("saw") // their faults are reported already
	find := func(q *place, field, id string) (int, bool) {
		if !r.text(q, field, id, ownIDs) {
			return 0, false
		}
		i := j.item(id)
		if before, twice := named[i]; i >= 0 && twice {
			r.faults.Because(fault.Duplicate, q.path(field), "is %s, which %s already names", quote(id), before)
			return 0, false
		} else if i < 0 {
			if order {
				return 0, false
			}
			r.faults.Because(fault.UnknownName, q.path(field), "is %s, which the order does not have%s", quote(id), j.meant(id))
			return 0, false
		}
		named[i] = q.path(field)
		return i, true
	}
	if r.entries(&p, "forced", len(m.GetForced()), forcedItems) {
		for k, f := range m.GetForced() {
			q := nth(&p, "forced", k)
			i, ok := find(&q, "item_id", f.GetItemId())
			strips := r.count(&q, "strips", f.Strips, 1, forcedStrips)
			if most := j.Problem.Pockets(); ok && !saw && strips > most {
				r.faults.Add(q.path("strips"), "is %d; the saw has %d blades, so a board gives %d strips at most", strips, len(j.Problem.Saw.Blades), most)
			}
			n.By.Forced = append(n.By.Forced, instructed.Forced{Item: i, Strips: strips})
			n.paths = append(n.paths, q.path(""))
		}
	}
	if r.entries(&p, "forbidden", len(m.GetForbidden()), forbiddenItems) {
		for k, id := range m.GetForbidden() {
			q := nth(&p, "forbidden", k)
			i, _ := find(&q, "", id)
			n.By.Forbidden, n.paths = append(n.By.Forbidden, i), append(n.paths, q.path(""))
		}
	}
	r.locks(&p, j, m, saw)
}

func (r *reader) locks(p *place, j *Job, m *ripwrightv1.Instructions, wrong bool) {
	n := j.by
	lock := func(q *place, axis int, mm *float64) {
		l := instructed.Lock{Axis: axis, Given: mm != nil}
		if mm != nil {
			l.At = r.mm(q, "at_mm", *mm, position)
		}
		n.By.Locks, n.paths = append(n.By.Locks, l), append(n.paths, q.path(""))
	}
	if f := m.GetFence(); f != nil {
		q := at(p, "fence")
		lock(&q, instructed.FenceAxis, f.AtMm)
	}
	if !r.entries(p, "blades", len(m.GetBlades()), lockedBlades) {
		return
	}
	seen := map[int32]string{}
	for k, b := range m.GetBlades() {
		q := nth(p, "blades", k)
		v := int(r.number(&q, "blade", float64(b.GetBlade()), lockedBlade))
		has := len(j.Problem.Saw.Blades)
		switch before, twice := seen[b.GetBlade()]; {
		case !wrong && v >= has:
			r.faults.Add(q.path("blade"), "is %d; the saw has %d blades, counted from 0", v, has)
			v = 0
		case twice:
			r.faults.Because(fault.Duplicate, q.path("blade"), "is %d, which %s already names", v, before)
		}
		seen[b.GetBlade()] = q.path("blade")
		lock(&q, v, b.AtMm)
	}
}

// item finds an item by its id; below 0: there is none.
func (j *Job) item(id string) int {
	for i := range j.Problem.Items {
		if j.Problem.Items[i].ID == id {
			return i
		}
	}
	return -1
}

// meant suggests the item that a name may have meant.
func (j *Job) meant(id string) string {
	var all []string
	for i := range j.Problem.Items {
		all = append(all, j.Problem.Items[i].ID)
	}
	if near := nearest.Name(id, all); near != "" {
		return "; did you mean " + quote(near) + "?"
	}
	return ""
}

// lockFaults are the faults of locks on the saw as it stands.
func (j *Job) lockFaults() (l fault.List) {
	if !j.by.chooses() {
		return nil
	}
	first := len(j.by.paths) - len(j.by.By.Locks)
	for _, f := range j.by.By.Faults(&j.Problem) {
		in, field, _ := strings.Cut(strings.TrimPrefix(f.Path, "locks["), "]")
		if k, err := strconv.Atoi(in); err == nil {
			f.Path = j.by.paths[first+k] + field
		}
		l = append(l, f)
	}
	return l
}

// solveInstructed searches the plan under the operator's instructions.
func (j *Job) solveInstructed() (*rip.Result, error) {
	if l := j.lockFaults(); len(l) > 0 {
		return nil, l
	}
	out, err := instructed.Solve(&j.Problem, j.terms(), &j.by.By, instructed.Options{Options: j.Options, Half: j.Half, Turns: j.Turns})
	if err != nil {
		return nil, err
	}
	j.by.Outcome = out
	return out.Result, nil
}

// instructed gives the outcome of the instructions.
func (j *Job) instructed() *ripwrightv1.InstructionsOutcome {
	if !j.by.chooses() || j.by.Outcome == nil {
		return nil
	}
	o := j.by.Outcome
	free := j.net(o.Free.Best)
	net := j.net(o.Best)
	out := &ripwrightv1.InstructionsOutcome{Kept: o.Kept, Free: j.proof(o.Free), Cost: free.Sub(net).Money(), CostBound: o.Free.Bound.Sub(net).Money()}
	for i := range o.Each {
		one := &ripwrightv1.InstructionCost{Path: j.by.paths[i], Kept: o.Each[i].Kept}
		if r := o.Each[i].Result; r != nil {
			cost, most := free.Sub(j.net(r.Best)).Money(), o.Free.Bound.Sub(j.net(r.Best)).Money()
			one.Cost, one.CostBound = &cost, &most
		}
		out.Each = append(out.Each, one)
	}
	return out
}

// disobeyed advises against feeding a board whose plan does not keep the instructions;
// nil: it does.
func (j *Job) disobeyed(r *rip.Result) *ripwrightv1.DoNotFeed {
	if j.by == nil {
		return nil
	}
	if o := j.by.Outcome; o != nil && !o.Kept {
		var short []string
		for i, f := range j.by.By.Forced {
			if o.Made[i] < f.Strips {
				short = append(short, fmt.Sprintf("%d of %d strips of %s", o.Made[i], f.Strips, quote(j.Problem.Items[f.Item].ID)))
			}
		}
		says := "do not feed: the strips cannot be forced on this board; no plan has them all, and this one has " + strings.Join(short, ", ")
		if !o.Proven {
			says = "do not feed by this plan: the search was stopped before it found one with all the forced strips; this one has " + strings.Join(short, ", ")
		}
		return &ripwrightv1.DoNotFeed{Reason: ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_NOT_AS_INSTRUCTED, Says: says}
	}
	if a := &r.Best.Account; j.by.minYield != nil && float64(a.Strip) < *j.by.minYield*float64(a.Face) {
		return &ripwrightv1.DoNotFeed{Reason: ripwrightv1.DoNotFeedReason_DO_NOT_FEED_REASON_LEAST_YIELD,
			Says: fmt.Sprintf("do not feed: the plan yields %.4g of the face, less than the least yield of %.4g", a.Yield(), *j.by.minYield)}
	}
	return nil
}

// terms by which plans are compared.
func (j *Job) terms() paced.Terms { return paced.Terms{Pace: j.Pace, Price: j.Price} }
