package planning

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/values"
)

// pricing is a request to plan values, made ready.
type pricing struct {
	stock
	problem values.Problem // its lots are sampled when its turn comes
	items   []wire.Item
	rules   map[string]values.Rule
	gap     float64
	limit   time.Duration
	machine wire.Machine
	// currency of the prices
	currency string
}

const defaultGap = 1e-3

func (s *Service) readValues(m *ripwrightv1.PlanValuesRequest) (*pricing, error) {
	var p wire.Parts
	out := &pricing{gap: p.Maybe("relative_gap", m.RelativeGap, defaultGap, ranges.Gap), limit: p.Limit("time_limit_ms", m.TimeLimitMs)}
	o, err := s.readOrder(&p, m, m.SetAsideLoss)
	if err != nil {
		return nil, err
	}
	out.currency = s.currency(&p, m.GetCurrency())
	out.rules = p.Rules("rules", m.GetRules(), m.GetOrder())
	if err := p.Err(o.faults()); err != nil {
		return nil, err
	}
	out.problem, out.items, out.machine, out.stock = o.problem, o.items, o.machine, o.stock
	return out, nil
}

// planned is what requests to plan one order have in common.
type planned interface {
	GetSaw() *ripwrightv1.Saw
	GetSawName() string
	GetOrder() *ripwrightv1.CutOrder
	GetLumber() *ripwrightv1.Lumber
	GetObjective() ripwrightv1.PlanObjective
}

// asked is the common part of such a request, read.
type asked struct {
	stock
	problem values.Problem // without the samples of its lots
	items   []wire.Item
	machine wire.Machine
	further []string // path of each item of further orders; they follow the order's
}

// readOrder reads the common part. The error is a wire.UnknownSaw.
func (s *Service) readOrder(p *wire.Parts, m planned, loss *float64) (*asked, error) {
	machine, err := p.Saw(m, s.saws)
	if err != nil {
		return nil, err
	}
	o := &asked{machine: machine}
	o.problem.Saw = machine.Saw
	o.problem.Saw.Turns = nil // restored if the request asks for turns
	o.problem.Items, o.items = p.Order(m.GetOrder())
	o.stock = readLumber(p, m.GetLumber())
	o.problem.Objective = objective(p, m.GetObjective())
	o.problem.Lost = values.Everything
	if loss != nil {
		o.problem.Lost = int64(p.Number("set_aside_loss", *loss, ranges.Part) * values.Everything)
	}
	return o, nil
}

// faults are those that the solver finds, before the request waits for its turn.
func (o *asked) faults() fault.List {
	q := o.problem
	q.Saw.Turns = o.machine.Turns
	q.Lots = make([]values.Lot, len(o.lots))
	for g := range o.lots {
		q.Lots[g].Price = o.lots[g].Price
	}
	l := append(o.stock.faults(), q.Faults()...)
	if q.Objective == values.Cost {
		for _, path := range o.thin {
			l.Because(fault.Missing, path, "is missing; the least cost needs a thickness for every board")
		}
	}
	if len(l) == 0 {
		l = q.BoardFaults(o.lots[0].First(o.sample, o.seed))
	}
	if len(l) == 0 {
		d, _ := demand.New(q.Items)
		steps := int64(mostCutSteps)
		l = d.CutFaults(&q.Saw, lumber.Longest(o.lots), &steps)
	}
	return l
}

// mostCutSteps bounds, in steps, the check of a request for lengths that combine in too
// many ways, before it waits for its turn: a few milliseconds.
const mostCutSteps = 50_000

func objective(p *wire.Parts, o ripwrightv1.PlanObjective) values.Objective {
	switch o {
	case ripwrightv1.PlanObjective_PLAN_OBJECTIVE_BOARDS:
		return values.Boards
	case ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST:
		return values.Cost
	case ripwrightv1.PlanObjective_PLAN_OBJECTIVE_UNSPECIFIED, ripwrightv1.PlanObjective_PLAN_OBJECTIVE_FACE:
	default:
		p.Because(fault.UnknownWord, "objective", "is %d; must be PLAN_OBJECTIVE_BOARDS, PLAN_OBJECTIVE_FACE or PLAN_OBJECTIVE_COST", o)
	}
	return values.Face
}
