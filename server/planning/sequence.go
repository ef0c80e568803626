package planning

import (
	"context"
	"fmt"
	"math"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/planning/sequence"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

const (
	mostMinutes = 1_000_000
	mostChange  = 10_000
	minute      = 60_000 // sequence.Time
)

// SequenceOrders implements the call of that name.
func (s *Service) SequenceOrders(ctx context.Context, m *ripwrightv1.SequenceOrdersRequest) (*ripwrightv1.SequenceOrdersResponse, error) {
	problem, err := readSequence(m)
	if err != nil {
		return nil, refuse.Error(err)
	}
	var r *sequence.Result
	if _, err := s.turn(ctx, 0, func(stop func() bool) error {
		r = sequence.Solve(problem, stop)
		return nil
	}); err != nil {
		return nil, known(err)
	}
	return &ripwrightv1.SequenceOrdersResponse{
		Best: sequenced(m, &r.Best), Given: sequenced(m, &r.Given), Proven: r.Proven, ChangeBoundMin: minutes(r.ChangeBound),
	}, nil
}

func readSequence(m *ripwrightv1.SequenceOrdersRequest) (*sequence.Problem, error) {
	var p wire.Parts
	out := &sequence.Problem{Current: positions(&p, "current_mm", m.GetCurrentMm())}
	if m.GetChange() == nil {
		p.Add("change", "is missing; say what a change takes")
	}
	out.Setup = milliseconds(&p, "change.setup_min", m.GetChange().GetSetupMin(), mostChange)
	out.PerBlade = milliseconds(&p, "change.per_blade_min", m.GetChange().GetPerBladeMin(), mostChange)
	if n := len(m.GetJobs()); n == 0 || n > sequence.MaxOrders {
		p.Add("jobs", "has %d entries; 1 to %d are taken", n, sequence.MaxOrders)
		return nil, p.Err(nil)
	}
	seen := map[string]int{}
	for i, job := range m.GetJobs() {
		path := fmt.Sprintf("jobs[%d]", i)
		p.ID(path+".order_id", job.GetOrderId())
		if j, twice := seen[job.GetOrderId()]; twice {
			p.Add(path+".order_id", "is %q, which jobs[%d] has too; every order needs an id of its own", job.GetOrderId(), j)
		} else if job.GetOrderId() == "" {
			p.Add(path+".order_id", "is empty; every order needs an id of its own")
		}
		seen[job.GetOrderId()] = i
		o := sequence.Order{}
		if job.DueMin != nil {
			o.Due = milliseconds(&p, path+".due_min", job.GetDueMin(), mostMinutes)
			if o.Due == 0 {
				p.Add(path+".due_min", "is %g; must be above 0", job.GetDueMin())
			}
		}
		if n := len(job.GetArbors()); n == 0 || n > sequence.MaxSettings {
			p.Add(path+".arbors", "has %d entries; 1 to %d are taken", n, sequence.MaxSettings)
			continue
		}
		for a, arbor := range job.GetArbors() {
			below := fmt.Sprintf("%s.arbors[%d]", path, a)
			o.Settings = append(o.Settings, sequence.Setting{
				Blades: positions(&p, below+".fixed_mm", arbor.GetFixedMm()),
				Run:    milliseconds(&p, below+".run_min", arbor.GetRunMin(), mostMinutes),
			})
		}
		out.Orders = append(out.Orders, o)
	}
	return out, p.Err(nil)
}

func positions(p *wire.Parts, path string, in []float64) []unit.Length {
	if len(in) > saw.MaxBlades {
		p.Add(path, "has %d entries; at most %d are taken", len(in), saw.MaxBlades)
		return nil
	}
	out := make([]unit.Length, len(in))
	for i, v := range in {
		at := fmt.Sprintf("%s[%d]", path, i)
		out[i] = p.MM(at, p.Number(at, v, -saw.MaxPosition.MM(), saw.MaxPosition.MM()))
		if i > 0 && out[i] <= out[i-1] {
			p.Add(at, "is %g, not beyond the position before it; positions go in rising order", v)
		}
	}
	return out
}

func milliseconds(p *wire.Parts, path string, min, most float64) sequence.Time {
	return sequence.Time(math.Round(p.Number(path, min, 0, most) * minute))
}

func minutes(t sequence.Time) float64 { return float64(t) / minute }

func sequenced(m *ripwrightv1.SequenceOrdersRequest, q *sequence.Sequence) *ripwrightv1.OrderSequence {
	out := &ripwrightv1.OrderSequence{ChangeMin: minutes(q.Change), LateMin: minutes(q.Late), TotalMin: minutes(q.Total)}
	for _, s := range q.Steps {
		out.Jobs = append(out.Jobs, &ripwrightv1.SequencedJob{
			OrderId: m.GetJobs()[s.Order].GetOrderId(), Arbor: int32(s.Setting), BladesMoved: int32(s.Moved),
			ChangeMin: minutes(s.Change), DoneMin: minutes(s.Done), LateMin: minutes(s.Late),
		})
	}
	return out
}
