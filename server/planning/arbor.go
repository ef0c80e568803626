package planning

import (
	"context"
	"fmt"
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/arbor"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/quote"
	"github.com/ripwright/ripwright/solver/rip"
)

// setting is a request to plan the arbor, made ready.
type setting struct {
	stock
	problem arbor.Problem // its boards are sampled when its turn comes
	options arbor.Options
	limit   time.Duration
	machine wire.Machine
}

const defaultSuggestions = 5

// PlanArbor implements the call of that name.
func (s *Service) PlanArbor(ctx context.Context, m *ripwrightv1.PlanArborRequest) (*ripwrightv1.PlanArborResponse, error) {
	in, err := s.readArbor(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var r *arbor.Result
	took, err := s.turn(ctx, "PlanArbor", memory.Of(m)+in.holds()+arbor.MostKnown, in.limit, func(t *turn) (bool, error) {
		in.options.Stop, in.options.Each, in.options.Memory, in.options.Boards = t.stop, t.each, t.memory, &t.boards
		in.problem.Boards = mixed(&in.stock)
		var err error
		r, err = arbor.Solve(&in.problem, in.options)
		return err == nil && r.Stopped, err
	})
	if err != nil {
		return nil, known(err)
	}
	out := &ripwrightv1.PlanArborResponse{
		Today: in.score(&r.Today), FixedOnly: in.score(r.FixedOnly), MoreMoving: in.score(r.MoreMoving),
		Tried: int32(r.Tried), AllTried: r.All, EndedBy: ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT,
		ArborFingerprint: in.machine.ArborFingerprint(), SawFingerprint: in.machine.Whole(), SolveTimeUs: float64(took.Nanoseconds()) / 1e3,
	}
	for i := range r.Best {
		out.Suggestions = append(out.Suggestions, in.score(&r.Best[i]))
	}
	out.Screened, out.LeaveAsIs = int32(r.Screened), true
	for i := range r.Best {
		out.LeaveAsIs = out.LeaveAsIs && r.Best[i].GainLow <= 0
	}
	if r.Stopped {
		out.EndedBy, out.LeftUndone = ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT, in.undone(r)
	}
	return out, nil
}

func (s *Service) readArbor(m *ripwrightv1.PlanArborRequest) (*setting, error) {
	var p wire.Parts
	machine, err := p.Saw(m, s.saws)
	if err != nil {
		return nil, err
	}
	out := &setting{limit: limited(&p, m.TimeLimitMs), machine: machine}
	out.problem.Saw, out.problem.Pace = machine.Saw, pace(&p, m.GetPace(), machine.Pace).Pace
	out.orders(&p, m)
	lots := readLumber(&p, m.GetLumber())
	out.options = arbor.Options{
		Seed:        lots.seed,
		Suggestions: p.Count("max_suggestions", m.MaxSuggestions, defaultSuggestions, ranges.Suggestions),
		Settings:    p.Count("max_settings", m.MaxSettings, arbor.DefaultSettings, ranges.Settings),
		Level:       p.Maybe("level", m.Level, defaultLevel, ranges.Level),
	}
	if sp := m.GetSpacers(); sp == nil {
		p.Because(fault.Missing, "spacers", "is missing; give the positions that spacers allow")
	} else {
		out.problem.Spacers = arbor.Spacers{
			Increment: p.MM("spacers.increment_mm", sp.GetIncrementMm(), ranges.Increment),
			Origin:    p.MM("spacers.origin_mm", sp.GetOriginMm(), ranges.Position),
			Min:       p.MM("spacers.min_mm", sp.GetMinMm(), ranges.Position),
			Max:       p.MM("spacers.max_mm", sp.GetMaxMm(), ranges.Position),
		}
	}
	faults := append(lots.faults(), out.problem.Faults()...)
	if len(faults) == 0 {
		steps := int64(mostCutSteps)
		for i := range out.problem.Orders {
			l := rip.CutFaultsUpTo(&machine.Saw, out.problem.Orders[i].Items, lumber.Longest(lots.lots), &steps)
			faults.Within(fmt.Sprintf("orders[%d]", i), l)
		}
	}
	if err := p.Err(faults); err != nil {
		return nil, err
	}
	out.problem.Saw.Turns = nil // boards are scored as they were scanned
	out.stock = lots
	return out, nil
}

func (in *setting) orders(p *wire.Parts, m *ripwrightv1.PlanArborRequest) {
	if !p.Entries("orders", len(m.GetOrders()), ranges.Orders) {
		return
	}
	for i, o := range m.GetOrders() {
		path := fmt.Sprintf("orders[%d]", i)
		in.problem.Orders = append(in.problem.Orders, arbor.Order{
			Items:  p.OrderAt(path+".order", o.GetOrder()),
			Weight: int64(p.Count(path+".weight", o.Weight, 1, ranges.Weight)),
		})
	}
}

// mixed gives boards of all lots, each lot with equal weight.
func mixed(s *stock) (out []lumber.Kind) {
	lots, n := s.sampled(), 0
	for _, lot := range lots {
		n += len(lot.Kinds)
	}
	out = make([]lumber.Kind, 0, n)
	for _, lot := range lots {
		total := int64(0)
		for _, k := range lot.Kinds {
			total += k.Count
		}
		for _, k := range lot.Kinds {
			// A part in a million is near enough.
			k.Count = max(k.Count*1_000_000/total, 1)
			out = append(out, k)
		}
	}
	return out
}

// score converts a scored setting; nil stays nil.
func (in *setting) score(s *arbor.Scored) *ripwrightv1.ArborScore {
	if s == nil {
		return nil
	}
	out := &ripwrightv1.ArborScore{}
	for _, a := range s.Fixed {
		out.FixedMm = append(out.FixedMm, a.MM())
	}
	if s.Boards == 0 || s.Face == 0 {
		return out
	}
	out.Worth, out.YieldRatio, out.BladesMoved, out.CycleS, out.Boards = s.Worth, s.Strip/s.Face, int32(s.Moved), s.Cycle, int32(s.Boards)
	out.Gain = estimate(quote.Interval{Expected: s.Gain, Low: s.GainLow, High: s.GainHigh}, in.options.Level, s.Boards)
	for i := range in.problem.Orders {
		out.Arbors = append(out.Arbors, &ripwrightv1.ArborSetting{
			FixedMm: out.GetFixedMm(), DurationMinutes: float64(in.problem.Orders[i].Weight) * s.Cycle / 60,
		})
	}
	return out
}
