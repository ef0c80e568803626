package service_test

import (
	"context"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
)

// Nothing is checked for a caller that has left during the search: a plan that would be
// withheld is not even found out.
func TestNothingIsCheckedForNobody(t *testing.T) {
	const setting = `, "setting": {"fence_mm": 100, "blades_mm": [100, 150, 225.4, 300]}}`
	for what, ask := range map[string]func(*mill, context.Context) error{
		"SolveBoard": func(m *mill, ctx context.Context) error {
			_, err := m.SolveBoard(ctx, read(t, &ripwrightv1.SolveBoardRequest{}, `{`+job+`}`))
			return err
		},
		"CheckPlan": func(m *mill, ctx context.Context) error {
			_, err := m.CheckPlan(ctx, read(t, &ripwrightv1.CheckPlanRequest{}, `{`+job+setting))
			return err
		},
		"DrawPlan": func(m *mill, ctx context.Context) error {
			_, err := m.DrawPlan(ctx, read(t, &ripwrightv1.DrawPlanRequest{}, `{`+job+`}`))
			return err
		},
		"DrawPlan of a setting": func(m *mill, ctx context.Context) error {
			_, err := m.DrawPlan(ctx, read(t, &ripwrightv1.DrawPlanRequest{}, `{`+job+setting))
			return err
		},
	} {
		m := newMill(t)
		ctx, leave := context.WithCancel(t.Context())
		m.solved = func(r *rip.Result) { leave(); r.Best.Worth.Lo++ }
		m.checked = func(c *rip.Checked) {
			if what == "DrawPlan of a setting" {
				leave()
			}
			c.Plan.Worth.Lo++
		}
		if err := ask(m, ctx); status.Code(err) != codes.Canceled {
			t.Errorf("%s: %v", what, err)
		}
		if n := m.log.Len(); n > 0 {
			t.Errorf("%s: %d lines in the log", what, n)
		}
		leave()
	}
}
