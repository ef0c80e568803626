package wire

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Job is a request made ready for the solver.
type Job struct {
	BoardID, PackID, OrderID string
	// Mark is how metrics label the saw.
	Mark    Mark
	Problem rip.Problem
	Pace    run.Pace
	Items   []Item // parallel to Problem.Items
	Options rip.Options
	// Price of the saw's time in billionths of money a second.
	Price int64
	// TimeLimit is the request's own; 0: none.
	TimeLimit time.Duration
	// Detail is how much the answer reports.
	Detail *ripwrightv1.AnswerDetail
	// Turns says that a plan may turn the board.
	Turns bool
	// Turn, Skew, Fence and Blades are the setting to check or to draw.
	Turn        wood.Turn
	Skew, Fence unit.Length
	Blades      []unit.Length

	// Half is polled by searches that must leave time for another one.
	Half func() bool

	// Idle are items that no plan may make: those open without a bay. Measure asks for
	// Free, the best plan without the limit of bays; nil if the limits leave no search.
	Idle    []int
	Measure bool
	Free    *rip.Result
	// FreeItems are the order's items as they would stand without the limit of bays; nil:
	// not asked for. FreeBooks is the best plan for them, which stays nil if the limits
	// leave no search.
	FreeItems []order.Item
	FreeBooks *rip.Result

	by   *Instructed // nil: without instructions
	also *also       // nil: the board serves one order
	lies *float64    // the current skew by the request; nil: unknown
}

// UnknownSaw is the error for a saw name that the server does not have.
type UnknownSaw struct {
	Name    string
	Nearest string // the name that may have been meant; empty: none is near
	At      string // beginning of its path, if it is not at the top of the request
}

func (u UnknownSaw) Error() string {
	says := u.At + "saw_name: the service has no saw called " + quote(u.Name)
	if u.Nearest != "" {
		says += "; did you mean " + quote(u.Nearest) + "?"
	}
	return says
}

// Saws finds a saw by name.
type Saws interface {
	Find(name string) (*Machine, bool)
}

// request is what the calls about one board have in common.
type request interface {
	sawChoice
	GetBoard() *ripwrightv1.Board
	GetOrder() *ripwrightv1.CutOrder
	GetOptions() *ripwrightv1.SolveOptions
	GetCurrentSetting() *ripwrightv1.Setting
}

type sawChoice interface {
	GetSaw() *ripwrightv1.Saw
	GetSawName() string
}

// Solve reads a SolveBoard request. The error is a fault.List or an UnknownSaw.
func Solve(m *ripwrightv1.SolveBoardRequest, saws Saws) (*Job, error) {
	var r reader
	j, err := r.job(m, saws)
	if err != nil {
		return nil, err
	}
	r.instructions(j, m.GetInstructions())
	if j, err = r.done(j); err == nil {
		err = j.lockFaults().Err()
	}
	if err != nil {
		return nil, err
	}
	return j, nil
}

// Check reads a CheckPlan request. The error is a fault.List or an UnknownSaw.
func Check(m *ripwrightv1.CheckPlanRequest, saws Saws) (*Job, error) {
	var r reader
	j, err := r.job(m, saws)
	if err != nil {
		return nil, err
	}
	if j.Options.RunnersUp != 0 {
		r.faults.Because(fault.OutOfRange, "options.runners_up", "is %d; must be 0 when a setting is checked", j.Options.RunnersUp)
	}
	if p := at(nil, "setting"); m.GetSetting() == nil {
		r.faults.Because(fault.Missing, "setting", "is missing; give the positions of fence and blades")
	} else {
		r.setting(&p, j, m.GetSetting())
		// A turned setting is compared with the best over all turns.
		j.Turns = j.Turns || j.Turn != wood.AsScanned
	}
	return r.done(j)
}

// Solve searches the plan that the request asks for. The error is a fault.List.
func (j *Job) Solve() (*rip.Result, error) {
	if len(j.Idle) > 0 || j.Measure || j.FreeItems != nil {
		return j.solveByBays()
	}
	return j.solve()
}

func (j *Job) solve() (*rip.Result, error) {
	if j.by.chooses() {
		return j.solveInstructed()
	}
	if j.also != nil {
		return j.solveOverlap()
	}
	if j.Turns {
		return turned.Solve(&j.Problem, j.terms(), j.Options)
	}
	return paced.Solve(&j.Problem, j.terms(), j.Options)
}

// SolveFrom is Solve with a valid plan to start from: a stopped search gives no worse
// one. It gives no runners-up.
func (j *Job) SolveFrom(known *rip.Plan) (*rip.Result, error) {
	if j.Turns {
		return turned.SolveFrom(&j.Problem, j.terms(), j.Options, known)
	}
	return paced.SolveFrom(&j.Problem, j.terms(), j.Options, known)
}

// Check scores the setting of the request. The error is a fault.List.
func (j *Job) Check() (*rip.Checked, error) {
	return turned.Check(&j.Problem, j.Turn, j.Skew, j.Fence, j.Blades, j.Options)
}

// net is what a plan is worth less what its cycle and its turn cost.
func (j *Job) net(p *rip.Plan) unit.Worth { return turned.Net(&j.Problem, j.terms(), p) }

func (r *reader) job(m request, saws Saws) (*Job, error) {
	j := &Job{BoardID: m.GetBoard().GetBoardId(), PackID: m.GetBoard().GetPackId(), OrderID: m.GetOrder().GetOrderId()}
	j.Problem.Board = r.board(m.GetBoard())
	s, err := r.choice(m, saws)
	if err != nil {
		return nil, err
	}
	j.Problem.Saw, j.Pace, j.Mark = s.Saw, s.Pace, s.Mark()
	j.lies = r.stands(&j.Problem.Saw, m.GetCurrentSetting())
	j.Problem.Items, j.Items = r.order(m.GetOrder())
	r.options(j, m.GetOptions())
	return j, nil
}

// choice reads which saw is chosen. The error is an UnknownSaw.
func (r *reader) choice(m sawChoice, saws Saws) (Machine, error) {
	switch top := at(nil, ""); {
	case m.GetSaw() != nil:
		p := at(nil, "saw")
		return r.machine(&p, m.GetSaw()), nil
	case m.GetSawName() == "":
		r.faults.Because(fault.Missing, "saw", "is missing; set saw or saw_name")
	case r.text(&top, "saw_name", m.GetSawName(), ownIDs):
		s, ok := saws.Find(m.GetSawName())
		if !ok {
			return Machine{}, UnknownSaw{Name: m.GetSawName(), Nearest: nearestSaw(m.GetSawName(), saws)}
		}
		return *s, nil
	}
	return Machine{}, nil
}

// setting reads the positions of fence and blades and how the board lies.
func (r *reader) setting(p *place, j *Job, m *ripwrightv1.Setting) {
	if m.FenceMm == nil {
		r.faults.Because(fault.Missing, p.path("fence_mm"), "is missing; give the position of the fence")
	} else {
		j.Fence = r.mm(p, "fence_mm", m.GetFenceMm(), position)
	}
	j.Skew = r.mm(p, "skew_mm_per_m", m.GetSkewMmPerM(), skew)
	j.Turn = r.turn(p, m.Turn)
	if n := len(m.GetBladesMm()); r.entries(p, "blades_mm", n, settingBlades) {
		j.Blades = r.positions(p, "blades_mm", m.GetBladesMm())
		// If the saw's blades could not be read their number is unknown.
		if has := len(j.Problem.Saw.Blades); has > 0 && n != has {
			r.faults.Add(p.path("blades_mm"), "has %d entries; the saw has %d blades", n, has)
		}
	}
}

func (r *reader) options(j *Job, m *ripwrightv1.SolveOptions) {
	p, given := at(nil, "options"), m
	if given == nil {
		given = &ripwrightv1.SolveOptions{}
	}
	j.Options.RunnersUp = int(r.number(&p, "runners_up", float64(m.GetRunnersUp()), runnersUp))
	j.TimeLimit = time.Duration(r.maybe(&p, "time_limit_ms", given.TimeLimitMs, 1e6, timeLimit))
	if w := given.WorkLimit; w != nil {
		j.Options.Work = int64(r.number(&p, "work_limit", *w, workLimit))
	}
	j.Detail = r.detail(p, "detail", m.GetDetail())
	j.Turns = m.GetTurnBoards()
	j.Price = r.whole(&p, "price_per_saw_hour", m.GetPricePerSawHour(), 1e9/3600, sawHour)
	if j.Price > 0 && j.Pace.Feed == 0 && !unsure(r.faults, "saw.feed_m_per_min") {
		r.faults.Add(p.path("price_per_saw_hour"), "is %g; a cycle can be estimated only if the saw's feed_m_per_min is known", m.GetPricePerSawHour())
	}
}

// detail reads how much an answer reports, with defaults for what is left out.
func (r *reader) detail(in place, field string, m *ripwrightv1.AnswerDetail) *ripwrightv1.AnswerDetail {
	p := at(&in, field)
	for name, v := range map[string]ripwrightv1.ItemDetail{"fills": m.GetFills(), "values": m.GetValues()} {
		if v < 0 || v > ripwrightv1.ItemDetail_ITEM_DETAIL_NONE {
			r.faults.Because(fault.UnknownWord, p.path(name), "is %d; must be ITEM_DETAIL_ALL, ITEM_DETAIL_CHANGED or ITEM_DETAIL_NONE", v)
		}
	}
	if v := m.GetPlans(); v < 0 || v > ripwrightv1.PlanDetail_PLAN_DETAIL_POCKETS {
		r.faults.Because(fault.UnknownWord, p.path("plans"), "is %d; must be PLAN_DETAIL_FULL or PLAN_DETAIL_POCKETS", v)
	}
	all := &ripwrightv1.AnswerDetail{Fills: m.GetFills(), Values: m.GetValues(), Plans: m.GetPlans()}
	for _, of := range []*ripwrightv1.ItemDetail{&all.Fills, &all.Values} {
		if *of == ripwrightv1.ItemDetail_ITEM_DETAIL_UNSPECIFIED {
			*of = ripwrightv1.ItemDetail_ITEM_DETAIL_CHANGED
		}
	}
	return all
}

// done ends the reading: with all faults, including the solver's, or with none. The
// solver would find its own again, but only when the board's turn comes, and a refused
// board never gets one.
func (r *reader) done(j *Job) (*Job, error) {
	if all := join(r.faults, j.Problem.Faults()); len(all) > 0 {
		return nil, all
	}
	return j, nil
}

// join appends the solver's faults to those of the conversion, which has a stand-in of 0
// for each value out of range. Faults that the solver finds by comparing a field with a
// stand-in would mislead, so they are left out.
func join(ours, solvers fault.List) fault.List {
	all := ours
	for _, f := range solvers {
		if !unsure(ours, f.Path) {
			all = append(all, f)
		}
	}
	return all
}
