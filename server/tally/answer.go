package tally

import (
	"math/big"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/unit"
)

// ruleOut names the rules in answers.
var ruleOut = map[core.Rule]ripwrightv1.TallyRule{
	core.SurfaceMeasure: ripwrightv1.TallyRule_TALLY_RULE_SURFACE_MEASURE,
	core.EndTally:       ripwrightv1.TallyRule_TALLY_RULE_END_TALLY,
	core.BlockTally:     ripwrightv1.TallyRule_TALLY_RULE_BLOCK_TALLY,
	core.ExactVolume:    ripwrightv1.TallyRule_TALLY_RULE_EXACT_VOLUME,
	core.MetricVolume:   ripwrightv1.TallyRule_TALLY_RULE_METRIC_VOLUME,
}

var basisOut = map[core.Basis]ripwrightv1.TallyBasis{
	core.Gross: ripwrightv1.TallyBasis_TALLY_BASIS_GROSS,
	core.Net:   ripwrightv1.TallyBasis_TALLY_BASIS_NET,
}

// number gives the double nearest to an exact figure.
func number(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

func maybe(r *big.Rat) *float64 {
	if r == nil {
		return nil
	}
	f := number(r)
	return &f
}

func (j *job) answer(r *core.Result) *ripwrightv1.TallyPackResponse {
	t := &j.terms
	out := &ripwrightv1.TallyPackResponse{
		Rule: ruleOut[t.Rule], Basis: basisOut[t.Basis],
		Allowance:     j.allowance(),
		ReadingErrors: readingErrors(&t.Instrument),
		ProfileWidth: map[core.TakenAt]ripwrightv1.ProfileWidth{
			core.AtThird: ripwrightv1.ProfileWidth_PROFILE_WIDTH_AT_THIRD,
			core.AtMean:  ripwrightv1.ProfileWidth_PROFILE_WIDTH_MEAN,
			core.AtLeast: ripwrightv1.ProfileWidth_PROFILE_WIDTH_MIN,
		}[j.width],
		All: j.group(r, r.All),
	}
	for i, a := range r.Accounts {
		out.Packs = append(out.Packs, j.account(i, a))
	}
	for _, g := range r.Groups {
		out.Groups = append(out.Groups, j.group(r, g))
	}
	for _, a := range r.Accuracy {
		out.Suppliers = append(out.Suppliers, accuracy(a))
	}
	return out
}

func (j *job) allowance() *ripwrightv1.ShrinkageAllowance {
	a := &ripwrightv1.ShrinkageAllowance{
		Convention: ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_SUBTRACT,
		Percent:    proto.Float64(float64(j.terms.Allowance.Percent) / millionths),
	}
	if j.terms.Allowance.Convention == core.Divide {
		a.Convention = ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_DIVIDE
	}
	return a
}

func readingErrors(in *core.Instrument) *ripwrightv1.ReadingErrors {
	mm := func(l unit.Length) *float64 { v := l.MM(); return &v }
	return &ripwrightv1.ReadingErrors{
		WidthSdMm: mm(in.Width.SD), WidthBiasMm: mm(in.Width.Bias),
		LengthSdMm: mm(in.Length.SD), LengthBiasMm: mm(in.Length.Bias),
		ThicknessSdMm: mm(in.Thickness.SD), ThicknessBiasMm: mm(in.Thickness.Bias),
	}
}

// group writes a group of packs. Money is left out if any price is unknown: a sum of the
// rest would pass for the total.
func (j *job) group(r *core.Result, g *core.Group) *ripwrightv1.TallyGroup {
	out := &ripwrightv1.TallyGroup{
		Packs: int32(g.Packs), Boards: int32(g.Boards),
		MeasuredBoardFeet: number(g.Measured), TalliedBoardFeet: number(g.Tallied),
		ComparedPacks: int32(g.Compared), LeftUnknownPacks: int32(g.LeftUnknown),
	}
	if g.Compared > 0 {
		out.DifferenceBoardFeet, out.DifferenceMoney = maybe(g.DifferenceBoardFeet), maybe(g.DifferenceMoney)
	}
	if g.LeftUnknown < g.Packs {
		out.LeftBoardFeet, out.LeftValue = maybe(g.Left), maybe(g.ValueLeft)
	}
	if g != r.All {
		inches := inchesOf(g.Thickness)
		out.Species, out.Grade, out.NominalThicknessIn = &g.Species, &g.Grade, &inches
	}
	for i, a := range r.Accounts {
		p := &j.packs[i]
		of := g == r.All || p.Species == g.Species && p.Grade == g.Grade && p.Thickness == g.Thickness
		if !of || j.request.GetPacks()[i].PricePerMbf != nil {
			continue
		}
		if a.Comparison != nil {
			out.DifferenceMoney = nil
		}
		if a.Left != nil {
			out.LeftValue = nil
		}
	}
	return out
}

func inchesOf(l unit.Length) float64 { return float64(l) / float64(unit.Inch) }

func accuracy(a *core.Accuracy) *ripwrightv1.SupplierAccuracy {
	out := &ripwrightv1.SupplierAccuracy{
		Supplier: a.Supplier, Packs: int32(a.Packs), MeanPercent: a.Mean,
		TalliedBoardFeet: number(a.Tallied), MeasuredBoardFeet: number(a.Measured),
	}
	if a.Packs >= 2 {
		out.SdPercent, out.MeanLowerPercent, out.MeanUpperPercent, out.Level = &a.Spread, &a.Low, &a.High, core.RecordLevel
	}
	if a.Packs >= 3 {
		out.TrendPercentPerPack, out.TrendSePercentPerPack = &a.Trend, &a.TrendError
	}
	return out
}
