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
		Proof:          proof(r),
		Fills:          j.fills(r.Best),
		SawFingerprint: j.Problem.Saw.Fingerprint(),
		Warnings:       j.warnings(),
		SolveTimeUs:    micros(took),
	}
	for i, p := range r.RunnersUp {
		out.RunnersUp[i] = j.plan(p)
	}
	return out
}

// Checked answers CheckPlan.
func (j *Job) Checked(c *rip.Checked, took time.Duration) *ripwrightv1.CheckPlanResponse {
	out := &ripwrightv1.CheckPlanResponse{
		BoardId:        j.BoardID,
		Plan:           j.plan(c.Plan),
		BrokenRules:    make([]*ripwrightv1.BrokenRule, len(c.Broken)),
		Optimum:        j.plan(c.Optimum.Best),
		Distance:       c.Distance.Money(),
		Proof:          proof(c.Optimum),
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
