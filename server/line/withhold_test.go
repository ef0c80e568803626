package line

import (
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest/observer"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/metrics"
	"github.com/ripwright/ripwright/server/service"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/server/withhold"
	"github.com/ripwright/ripwright/solver/rip"
)

// onceWrong is a solver that falsifies every second plan.
type onceWrong struct{ boards int }

func (o *onceWrong) Solve(j *wire.Job) (*rip.Result, error) {
	r, err := j.Solve()
	if o.boards++; err == nil && o.boards%2 == 0 {
		r.Best.Account.Kerf--
		r.Best.Account.Edging++
		r.Best.Pockets[len(r.Best.Pockets)-1].Worth.Lo++
	}
	return r, err
}

func (o *onceWrong) SolveFrom(j *wire.Job, _ *rip.Plan) (*rip.Result, error) { return o.Solve(j) }

func (o *onceWrong) Check(*wire.Job) (*rip.Checked, error) { return nil, nil }

// A plan that fails its check is refused on a line with a specific reason. It reserves
// nothing, and the line continues. The log reports it, and so does the counter of the
// alert RipwrightPlansWithheld.
func TestWithheld(t *testing.T) {
	saws, err := fleet.BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	m := metrics.New(time.Now)
	core, log := observer.New(zap.InfoLevel)
	h := open(t, func(c *Config) {
		c.Withheld = &withhold.Desk{Log: zap.New(core), Watch: m}
		c.Solver = service.New(saws, service.Config{Solves: 1, Waiting: 8, Longest: 10 * time.Second, Solver: &onceWrong{}}, m, time.Now)
	})
	s := h.stream(t)
	s.say(setUp)
	first := s.say(board).GetPlan()
	if first == nil {
		t.Fatal("no plan")
	}
	a := s.say(board)
	if r := a.GetRefused(); r.GetReason() != ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_PLAN_WITHHELD || r.GetFaults()[0].GetPath() != "board" {
		t.Fatal(a)
	}
	fill(t, "withheld", a, 31.5, 4.8, 83.7)
	if a = s.say(board); a.GetPlan().GetPlan().GetWorth() != first.GetPlan().GetWorth() {
		t.Fatal(a)
	}
	if all := log.All(); len(all) != 1 || all[0].Message != "plan withheld" || all[0].ContextMap()["call"] != "RunLine" {
		t.Errorf("the log has %v", all)
	}
	if n := seriesOf(t, m, "ripwright_plans_withheld_total"); n != 1 {
		t.Errorf("%g plans are counted", n)
	}
	if sum := s.say(`{"end": {}}`).GetSummary(); sum.GetPlanned() != 2 || sum.GetRefused() != 1 {
		t.Error(sum)
	}
}

// seriesOf adds up the series of a counter.
func seriesOf(t *testing.T, m *metrics.Metrics, name string) (n float64) {
	t.Helper()
	families, err := m.Registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range families {
		if f.GetName() == name {
			for _, s := range f.GetMetric() {
				n += s.GetCounter().GetValue()
			}
		}
	}
	return n
}
