package wire

import (
	"time"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/picture"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit/people"
)

// Drawing is a DrawPlan request made ready.
type Drawing struct {
	*Job
	// Given says that the setting in the job is to be drawn, not the best plan.
	Given bool
	Units people.System
}

// Draw reads a DrawPlan request. The error is a fault.List or an UnknownSaw.
func Draw(m *ripwrightv1.DrawPlanRequest, saws Saws) (*Drawing, error) {
	var r reader
	j, err := r.job(m, saws)
	if err != nil {
		return nil, err
	}
	d := &Drawing{Job: j}
	if j.Options.RunnersUp != 0 {
		r.faults.Because(fault.OutOfRange, "options.runners_up", "is %d; must be 0 when one plan is drawn", j.Options.RunnersUp)
	}
	switch m.GetUnits() {
	case ripwrightv1.PictureUnits_PICTURE_UNITS_UNSPECIFIED, ripwrightv1.PictureUnits_PICTURE_UNITS_METRIC:
	case ripwrightv1.PictureUnits_PICTURE_UNITS_INCH:
		d.Units = people.Inch
	default:
		r.faults.Because(fault.UnknownWord, "units", "is %d; must be PICTURE_UNITS_METRIC or PICTURE_UNITS_INCH", m.GetUnits())
	}
	if s := m.GetSetting(); s != nil {
		p := at(nil, "setting")
		d.Given = true
		r.setting(&p, j, s)
	}
	_, err = r.done(j)
	return d, err
}

// Picture draws a plan; for a given setting broken lists the rules that it breaks.
func (d *Drawing) Picture(p *rip.Plan, broken []rip.Broken) []byte {
	var rules fault.List
	for _, b := range broken {
		rules = append(rules, b.Fault)
	}
	return picture.Draw(&d.Problem, p, picture.Options{Board: d.BoardID, Units: d.Units, Broken: rules})
}

// Drawn answers DrawPlan. r is the proof of the best plan, nil for a given setting.
func (d *Drawing) Drawn(p *rip.Plan, r *rip.Result, broken []rip.Broken, svg []byte, took time.Duration) *ripwrightv1.DrawPlanResponse {
	out := &ripwrightv1.DrawPlanResponse{
		BoardId:        d.BoardID,
		Svg:            string(svg),
		Plan:           d.plan(p),
		BrokenRules:    make([]*ripwrightv1.BrokenRule, len(broken)),
		SawFingerprint: d.fingerprint(),
		Warnings:       d.warnings(),
		SolveTimeUs:    micros(took),

		ArborFingerprint: d.Problem.Saw.ArborFingerprint(),
	}
	if r != nil {
		out.Proof = d.proof(r)
	}
	for i, b := range broken {
		out.BrokenRules[i] = brokenRule(b)
	}
	return out
}
