package wire

import (
	"math"
	"strings"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/planning/demand"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/planning/values"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/turned"
	"github.com/ripwright/ripwright/solver/wood"
)

// Planning is how a line plans the values of its items.
type Planning struct {
	Every    int64
	Expected []wood.Board
	Rules    map[string]values.Rule
	// Advise asks for advice to set boards aside, at a loss of Lost of their cost; see
	// values.Problem.
	Advise bool
	Lost   int64
}

// usualEvery is the default number of boards from one planning of values to the next.
const usualEvery = 25

// planning reads how values are planned. o is the order of its rules; nil: any.
func (r *reader) planning(m *ripwrightv1.ValuePlanning, o *ripwrightv1.CutOrder) *Planning {
	if m == nil {
		return nil
	}
	p := at(nil, "value_planning")
	out := &Planning{Every: int64(r.count(&p, "replan_every_boards", m.ReplanEveryBoards, usualEvery, everyBoards)), Lost: values.Everything}
	if r.entries(&p, "expected", len(m.GetExpected()), expectedBoards) {
		for i, b := range m.GetExpected() {
			q := nth(&p, "expected", i)
			out.Expected = append(out.Expected, r.boardAt(&q, b))
		}
	}
	out.Rules = r.rules(&p, "rules", m.GetRules(), o)
	if m.SetAsideLoss != nil {
		out.Advise, out.Lost = true, r.whole(&p, "set_aside_loss", m.GetSetAsideLoss(), values.Everything, ForPlans.Part)
	}
	return out
}

// boardAt reads a board elsewhere than at the top of a request. Faults that the solver
// would find in it are found here.
func (r *reader) boardAt(p *place, m *ripwrightv1.Board) wood.Board {
	var own reader
	b := own.board(m)
	if len(own.faults) == 0 {
		own.faults.Within("board", b.Faults())
	}
	for _, f := range own.faults {
		r.faults.Add(p.path(strings.TrimPrefix(strings.TrimPrefix(f.Path, "board"), ".")), "%s", f.Says)
	}
	return b
}

// unplannable lists the parts of the order for which a line cannot plan values.
func (l *Line) unplannable() fault.List {
	if l.Planning == nil {
		return nil
	}
	return demand.Unplannable(l.Items)
}

// InForce gives the items' values, planned or not: as the last board was cut by them, or
// if there was none, as they were planned.
func (l *Line) InForce(c *replan.Course) *ripwrightv1.ValuesInForce {
	out := &ripwrightv1.ValuesInForce{Failed: c.Failed, Failure: c.Why}
	if c.Force != nil {
		out.Number, out.BoardsSeen, out.WorthPerM2 = &c.Force.Number, proto.Int32(count(c.Force.Seen)), proto.Float64(c.Force.PerFace)
		for _, late := range c.Force.Late {
			out.Late = append(out.Late, &ripwrightv1.LateItem{ItemId: late.Item, DueBoards: int32(late.Due), MinBoards: count(late.Least)})
		}
	}
	items := order.CloneItems(l.Items)
	c.ApplyLast(items)
	for i := range items {
		it := &items[i]
		var cuts []int64
		for k := range it.Cuts {
			cuts = append(cuts, it.Cuts[k].Value)
		}
		out.Values = append(out.Values, PlannedValue(it, it.Value, it.Basis, cuts))
	}
	return out
}

// count fits a number of boards into the schema's type.
func count(n int64) int32 { return int32(min(n, math.MaxInt32)) }

// SetAside reports whether a board is better set aside, if the set-up asks for it and
// planned values are in force.
func (l *Line) SetAside(c *replan.Course, j *Job, r *rip.Result) *ripwrightv1.SetAside {
	if l.Planning == nil || !l.Planning.Advise || c.Force == nil {
		return nil
	}
	least := c.Force.PerFace * j.Problem.Board.Face().SquareMetres() * (1 - float64(l.Planning.Lost)/values.Everything)
	worth := r.Best.Worth.Sub(turned.Cost(&j.Problem.Saw, r.Best.Turn))
	return &ripwrightv1.SetAside{Advised: worth.Money() < least, MinWorth: least}
}

// ToldValues leaves in m the values that the set-up asks for, and returns all of them;
// before is what it returned for the answer before.
func (l *Line) ToldValues(m *ripwrightv1.ValuesInForce, before []*ripwrightv1.PlannedValue) []*ripwrightv1.PlannedValue {
	all := m.GetValues()
	switch d := l.detail.GetValues(); {
	case m == nil:
	case d == ripwrightv1.ItemDetail_ITEM_DETAIL_NONE:
		m.Values = nil
	case d == ripwrightv1.ItemDetail_ITEM_DETAIL_CHANGED && len(before) == len(all):
		m.Values = nil
		for i, v := range all {
			if !proto.Equal(v, before[i]) {
				m.Values = append(m.Values, v)
			}
		}
	}
	return all
}
