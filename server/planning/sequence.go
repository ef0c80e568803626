package planning

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/unit"
)

const minute = 60_000 // sequence.Time

// SequenceOrders implements the call of that name.
func (s *Service) SequenceOrders(ctx context.Context, m *ripwrightv1.SequenceOrdersRequest) (*ripwrightv1.SequenceOrdersResponse, error) {
	problem, limit, err := readSequence(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var r *sequence.Result
	ended := ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT
	took, err := s.turn(ctx, "SequenceOrders", memory.Of(m), limit, func(t *turn) (bool, error) {
		if m.TimeLimitMs != nil {
			problem.Spent = t.spent
		}
		r = sequence.Solve(problem, t.stop)
		cut := !r.Proven && t.stop()
		switch {
		case cut:
			ended = ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT
		case !r.Proven:
			ended = ripwrightv1.EndedBy_ENDED_BY_WORK_LIMIT
		}
		return cut, nil
	})
	if err != nil {
		return nil, known(err)
	}
	return &ripwrightv1.SequenceOrdersResponse{
		Best: sequenced(m, &r.Best), Given: sequenced(m, &r.Given), Proven: r.Proven, ChangeBoundMinutes: minutes(r.ChangeBound),
		WeightedLateBoundMinutes: minutes(r.LateBound), TotalBoundMinutes: minutes(r.TotalBound), Work: float64(r.Work),
		EndedBy: ended, SolveTimeUs: float64(took.Nanoseconds()) / 1e3,
	}, nil
}

func readSequence(m *ripwrightv1.SequenceOrdersRequest) (*sequence.Problem, time.Duration, error) {
	var p wire.Parts
	out := &sequence.Problem{Current: positions(&p, "current_fixed_mm", m.GetCurrentFixedMm())}
	limit := p.Limit("time_limit_ms", m.TimeLimitMs)
	if m.TimeLimitMs != nil {
		out.Work = int64(ranges.Work.Most)
	}
	if m.WorkLimit != nil {
		out.Work = int64(p.Number("work_limit", m.GetWorkLimit(), ranges.Work))
	}
	if m.GetChange() == nil {
		p.Because(fault.Missing, "change", "is missing; give the time that a change takes")
	}
	out.Setup = milliseconds(&p, "change.setup_minutes", m.GetChange().GetSetupMinutes(), ranges.Change)
	out.PerBlade = milliseconds(&p, "change.per_blade_minutes", m.GetChange().GetPerBladeMinutes(), ranges.Change)
	if !p.Entries("jobs", len(m.GetJobs()), ranges.Jobs) {
		return nil, 0, p.Err(nil)
	}
	seen := map[string]int{}
	for i, job := range m.GetJobs() {
		path := fmt.Sprintf("jobs[%d]", i)
		id := job.GetOrderId()
		if j, twice := seen[id]; p.Text(path+".order_id", id, ranges.OwnID) && twice {
			p.Because(fault.Duplicate, path+".order_id", "is %q, which jobs[%d] has too; every order needs an id of its own", id, j)
		}
		seen[id] = i
		out.Orders = append(out.Orders, readJob(&p, path, job))
	}
	return out, limit, p.Err(nil)
}

func readJob(p *wire.Parts, path string, m *ripwrightv1.SequenceJob) (o sequence.Order) {
	if m.DueMinutes != nil {
		o.Due = max(milliseconds(p, path+".due_minutes", m.GetDueMinutes(), ranges.Due), 1)
	}
	o.Start = milliseconds(p, path+".earliest_start_minutes", m.GetEarliestStartMinutes(), ranges.Start)
	o.Weight = sequence.Time(p.Count(path+".weight", m.Weight, 1, ranges.JobWeight))
	if !p.Entries(path+".arbors", len(m.GetArbors()), ranges.Arbors) {
		return o
	}
	for a, arbor := range m.GetArbors() {
		below := fmt.Sprintf("%s.arbors[%d]", path, a)
		o.Settings = append(o.Settings, sequence.Setting{
			Blades: positions(p, below+".fixed_mm", arbor.GetFixedMm()),
			Run:    milliseconds(p, below+".duration_minutes", arbor.GetDurationMinutes(), ranges.Run),
		})
	}
	return o
}

// positions reads positions in rising order.
func positions(p *wire.Parts, path string, in []float64) []unit.Length {
	if !p.Entries(path, len(in), ranges.Blades) {
		return nil
	}
	out := make([]unit.Length, len(in))
	for i, v := range in {
		at := fmt.Sprintf("%s[%d]", path, i)
		out[i] = p.MM(at, v, ranges.Position)
		// A position out of range says nothing about its neighbours.
		if i > 0 && in[i-1] >= v && ranges.Position.Holds(v) && ranges.Position.Holds(in[i-1]) {
			p.Add(at, "is %g, not beyond the position before it; positions go in rising order", v)
		}
	}
	return out
}

func milliseconds(p *wire.Parts, path string, v float64, g limits.Range) sequence.Time {
	return sequence.Time(math.Round(p.Number(path, v, g) * minute))
}

func minutes(t sequence.Time) float64 { return float64(t) / minute }

func sequenced(m *ripwrightv1.SequenceOrdersRequest, q *sequence.Sequence) *ripwrightv1.OrderSequence {
	out := &ripwrightv1.OrderSequence{ChangeMinutes: minutes(q.Change), LateMinutes: minutes(q.Late), TotalMinutes: minutes(q.Total),
		WeightedLateMinutes: minutes(q.Weighted)}
	for _, s := range q.Steps {
		out.Jobs = append(out.Jobs, &ripwrightv1.SequencedJob{
			OrderId: m.GetJobs()[s.Order].GetOrderId(), Arbor: int32(s.Setting), BladesMoved: int32(s.Moved),
			ChangeMinutes: minutes(s.Change), StartMinutes: minutes(s.Start), DoneMinutes: minutes(s.Done), LateMinutes: minutes(s.Late),
		})
	}
	return out
}
