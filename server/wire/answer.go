package wire

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
)

// Solved answers SolveBoard.
func (j *Job) Solved(r *rip.Result, took time.Duration) *ripwrightv1.SolveBoardResponse {
	out := &ripwrightv1.SolveBoardResponse{
		BoardId:        j.BoardID,
		Plan:           j.plan(r.Best),
		RunnersUp:      make([]*ripwrightv1.Plan, len(r.RunnersUp)),
		Proof:          j.proof(r),
		Fills:          j.fills(r.Best),
		SawFingerprint: j.Problem.Saw.Fingerprint(),
		Warnings:       j.warnings(),
		SolveTimeUs:    micros(took),
		Cycle:          j.cycle(r.Best),
	}
	for i, p := range r.RunnersUp {
		out.RunnersUp[i] = j.plan(p)
	}
	return out
}

// Checked answers CheckPlan: c is the setting, best the optimum.
func (j *Job) Checked(c *rip.Checked, best *rip.Result, took time.Duration) *ripwrightv1.CheckPlanResponse {
	out := &ripwrightv1.CheckPlanResponse{
		BoardId:        j.BoardID,
		Plan:           j.plan(c.Plan),
		BrokenRules:    make([]*ripwrightv1.BrokenRule, len(c.Broken)),
		Optimum:        j.plan(best.Best),
		Distance:       j.net(best.Best).Sub(j.net(c.Plan)).Money(),
		Proof:          j.proof(best),
		Fills:          j.fills(c.Plan),
		SawFingerprint: j.Problem.Saw.Fingerprint(),
		Warnings:       j.warnings(),
		SolveTimeUs:    micros(took),
	}
	for i, f := range c.Broken {
		out.BrokenRules[i] = &ripwrightv1.BrokenRule{Path: f.Path, Says: f.Says}
	}
	return out
}

func micros(d time.Duration) float64 { return float64(d.Nanoseconds()) / 1000 }
