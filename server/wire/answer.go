package wire

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
)

// Solved answers SolveBoard.
func (j *Job) Solved(r *rip.Result, took time.Duration) *ripwrightv1.SolveBoardResponse {
	out := &ripwrightv1.SolveBoardResponse{
		BoardId:          j.BoardID,
		Plan:             j.plan(r.Best),
		RunnersUp:        make([]*ripwrightv1.Plan, len(r.RunnersUp)),
		Proof:            j.proof(r),
		Fills:            j.fills(r.Best),
		ArborFingerprint: j.Problem.Saw.ArborFingerprint(),
		SawFingerprint:   j.fingerprint(),
		Warnings:         append(j.warnings(), OrderWarnings(j.Problem.Items)...),
		Cycle:            j.cycle(r.Best),
		SolveTimeUs:      micros(took),
		DoNotFeed:        j.doNotFeed(r),
		Instructed:       j.instructed(),
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
		SawFingerprint: j.fingerprint(),
		Warnings:       append(j.warnings(), OrderWarnings(j.Problem.Items)...),
		SolveTimeUs:    micros(took),

		ArborFingerprint: j.Problem.Saw.ArborFingerprint(),
	}
	for i, b := range c.Broken {
		out.BrokenRules[i] = brokenRule(b)
	}
	return out
}

var rules = map[rip.Rule]ripwrightv1.SettingRule{
	rip.FenceTravel:      ripwrightv1.SettingRule_SETTING_RULE_FENCE_TRAVEL,
	rip.FenceStep:        ripwrightv1.SettingRule_SETTING_RULE_FENCE_STEP,
	rip.BladeTravel:      ripwrightv1.SettingRule_SETTING_RULE_BLADE_TRAVEL,
	rip.BladeStep:        ripwrightv1.SettingRule_SETTING_RULE_BLADE_STEP,
	rip.BladeFixed:       ripwrightv1.SettingRule_SETTING_RULE_BLADE_FIXED,
	rip.BladeGap:         ripwrightv1.SettingRule_SETTING_RULE_BLADE_GAP,
	rip.SkewStraightEdge: ripwrightv1.SettingRule_SETTING_RULE_SKEW_STRAIGHT_EDGE,
	rip.SkewLimit:        ripwrightv1.SettingRule_SETTING_RULE_SKEW_LIMIT,
	rip.SkewStep:         ripwrightv1.SettingRule_SETTING_RULE_SKEW_STEP,
	rip.TurnMade:         ripwrightv1.SettingRule_SETTING_RULE_TURN,
	rip.TurnStraightEdge: ripwrightv1.SettingRule_SETTING_RULE_TURN_STRAIGHT_EDGE,
}

func brokenRule(b rip.Broken) *ripwrightv1.BrokenRule {
	return &ripwrightv1.BrokenRule{Rule: rules[b.Rule], Path: "setting." + b.Path, Says: b.Says}
}

// fingerprint is that of the whole saw.
func (j *Job) fingerprint() string {
	m := Machine{Saw: j.Problem.Saw, Pace: j.Pace}
	return m.Whole()
}

func micros(d time.Duration) float64 { return float64(d.Nanoseconds()) / 1000 }
