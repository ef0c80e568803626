package tally

import (
	"math/big"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
)

// The errors of readings if the request gives none: those of a scanner and encoder in
// fair order.
const (
	widthSD     = 500 * unit.Micrometre
	lengthSD    = 3 * unit.Millimetre
	thicknessSD = 200 * unit.Micrometre
)

// defaultPercent is the middle of what the trade allows from green to kiln-dried, 5 to 9
// %.
const defaultPercent = 7

// terms reads the terms by which all packs are accounted.
func (r *reader) terms(j *job) {
	m, t := j.request, &j.terms
	t.Rule = choice(r, "rule", m.GetRule(), ripwrightv1.TallyRule_name, map[ripwrightv1.TallyRule]core.Rule{
		ripwrightv1.TallyRule_TALLY_RULE_UNSPECIFIED:     core.SurfaceMeasure,
		ripwrightv1.TallyRule_TALLY_RULE_SURFACE_MEASURE: core.SurfaceMeasure,
		ripwrightv1.TallyRule_TALLY_RULE_END_TALLY:       core.EndTally,
		ripwrightv1.TallyRule_TALLY_RULE_BLOCK_TALLY:     core.BlockTally,
		ripwrightv1.TallyRule_TALLY_RULE_EXACT_VOLUME:    core.ExactVolume,
		ripwrightv1.TallyRule_TALLY_RULE_METRIC_VOLUME:   core.MetricVolume,
	})
	t.Basis = r.basis("basis", m.GetBasis(), core.Net)
	t.Allowance = core.Allowance{Percent: defaultPercent * millionths}
	if a := m.GetAllowance(); a != nil {
		if a.Percent != nil {
			t.Allowance.Percent = r.number("allowance.percent", a.GetPercent(), ranges.Percent, millionths)
		}
		t.Allowance.Convention = choice(r, "allowance.convention", a.GetConvention(), ripwrightv1.AllowanceConvention_name,
			map[ripwrightv1.AllowanceConvention]core.Convention{
				ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_UNSPECIFIED: core.Subtract,
				ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_SUBTRACT:    core.Subtract,
				ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_DIVIDE:      core.Divide,
			})
	}
	t.Instrument = r.instrument(m.GetReadingErrors())
	j.width = choice(r, "profile_width", m.GetProfileWidth(), ripwrightv1.ProfileWidth_name, map[ripwrightv1.ProfileWidth]core.TakenAt{
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_UNSPECIFIED: core.AtThird,
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_AT_THIRD:    core.AtThird,
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_MEAN:        core.AtMean,
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_MIN:         core.AtLeast,
	})
	if s := m.GetMoisture(); s != nil {
		r.needed("moisture.from_percent", s.FromPercent, ranges.Moisture)
		r.needed("moisture.to_percent", s.ToPercent, ranges.Moisture)
	}
	t.Past = r.past(m.GetPastPacks())
}

// instrument reads how far readings may be off.
func (r *reader) instrument(e *ripwrightv1.ReadingErrors) core.Instrument {
	if e == nil {
		e = &ripwrightv1.ReadingErrors{}
	}
	or := func(field string, v *float64, otherwise unit.Length) unit.Length {
		if v == nil {
			return otherwise
		}
		return r.size("reading_errors."+field, *v, ranges.ReadingError, unit.Millimetre)
	}
	return core.Instrument{
		Width:     core.Error{SD: or("width_sd_mm", e.WidthSdMm, widthSD), Bias: or("width_bias_mm", e.WidthBiasMm, 0)},
		Length:    core.Error{SD: or("length_sd_mm", e.LengthSdMm, lengthSD), Bias: or("length_bias_mm", e.LengthBiasMm, 0)},
		Thickness: core.Error{SD: or("thickness_sd_mm", e.ThicknessSdMm, thicknessSD), Bias: or("thickness_bias_mm", e.ThicknessBiasMm, 0)},
	}
}

// past reads the packs accounted before.
func (r *reader) past(list []*ripwrightv1.PastPack) []core.Past {
	if !r.entries("past_packs", len(list), ranges.PastPacks) {
		return nil
	}
	out := make([]core.Past, len(list))
	for i, p := range list {
		at := entry("past_packs", i)
		feet := func(field string, v float64, g limits.Range) *big.Rat {
			return big.NewRat(r.number(at+"."+field, v, g, millionths), millionths)
		}
		out[i] = core.Past{Supplier: r.text(at+".supplier", p.GetSupplier(), ranges.Text),
			Tallied:  feet("tallied_board_feet", p.GetTalliedBoardFeet(), ranges.SomeBoardFeet),
			Measured: feet("measured_board_feet", p.GetMeasuredBoardFeet(), ranges.BoardFeet)}
		if v := p.GetTalliedBoardFeet(); out[i].Tallied.Sign() == 0 && v > 0 && v <= ranges.SomeBoardFeet.Most {
			r.faults.Because(fault.OutOfRange, at+".tallied_board_feet", "is %g, which rounds to 0 millionths; must be %s", v, ranges.SomeBoardFeet)
		}
	}
	return out
}
