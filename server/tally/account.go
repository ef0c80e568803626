package tally

import (
	"math/big"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/tally/shrink"
)

// account writes pack i.
func (j *job) account(i int, a *core.Account) *ripwrightv1.PackAccount {
	p := &j.packs[i]
	out := &ripwrightv1.PackAccount{
		PackId: p.ID, Supplier: p.Supplier, Species: p.Species, Grade: p.Grade,
		NominalThicknessIn: inchesOf(p.Thickness),
		MeasuredBoardFeet:  maybe(a.Measured), MinBoardFeet: maybe(a.Least), MaxBoardFeet: maybe(a.Most),
		TalliedBoardFeet: maybe(a.Tallied),
	}
	if a.Sums != nil {
		out.Boards = int32(a.Sums.Pieces)
		for _, r := range core.Rules() {
			out.Figures = append(out.Figures, j.figure(p, a.Sums, r))
		}
	}
	if a.Pieces > 0 {
		n := int32(a.Pieces)
		out.TalliedBoards = &n
	}
	if c := a.Comparison; c != nil {
		out.Comparison = &ripwrightv1.TallyComparison{
			DifferenceBoardFeet: number(c.Difference), DifferencePercent: maybe(c.Percent), DifferenceMoney: j.priced(i, c.Money),
			ExplainedLackingBoardFeet: number(c.Lacking), ExplainedSurplusBoardFeet: number(c.Surplus),
			Verdict: map[core.Verdict]ripwrightv1.TallyVerdict{
				core.Agrees:  ripwrightv1.TallyVerdict_TALLY_VERDICT_AGREES,
				core.Lacks:   ripwrightv1.TallyVerdict_TALLY_VERDICT_LACKS,
				core.Exceeds: ripwrightv1.TallyVerdict_TALLY_VERDICT_EXCEEDS,
			}[c.Verdict],
		}
	}
	for _, f := range a.Findings {
		out.Findings = append(out.Findings, &ripwrightv1.BoardFinding{
			Index: int32(f.Board), BoardId: p.Boards[f.Board].ID,
			Kind: map[core.Kind]ripwrightv1.FindingKind{
				core.Short:  ripwrightv1.FindingKind_FINDING_KIND_SHORT,
				core.Narrow: ripwrightv1.FindingKind_FINDING_KIND_NARROW,
				core.Scant:  ripwrightv1.FindingKind_FINDING_KIND_SCANT,
			}[f.Kind],
			MeasuredMm: f.Measured.MM(), MinMm: f.Least.MM(),
		})
	}
	if l := a.Left; l != nil {
		out.Left = &ripwrightv1.LeftInPack{
			BoardFeet: number(l.BoardFeet), MinBoardFeet: number(l.Least), MaxBoardFeet: number(l.Most),
			OverBoardFeet: number(l.Over), Value: j.priced(i, l.Value),
			FromTally: l.FromTally, SupplierRecordUsed: l.Record,
		}
		if l.Boards >= 0 {
			n := int32(l.Boards)
			out.Left.Boards = &n
		}
	}
	out.MoistureChange = j.moisture(i, a)
	return out
}

// priced gives money of pack i, or nil if its price is unknown.
func (j *job) priced(i int, money *big.Rat) *float64 {
	if j.request.GetPacks()[i].PricePerMbf == nil {
		return nil
	}
	return maybe(money)
}

func (j *job) figure(p *core.Pack, s *core.Sums, r core.Rule) *ripwrightv1.TallyFigure {
	feet := s.BoardFeet(r, p.Thickness)
	return &ripwrightv1.TallyFigure{
		Rule:           ruleOut[r],
		GrossBoardFeet: number(j.terms.Allowance.Convert(feet, p.Basis, core.Gross)),
		NetBoardFeet:   number(j.terms.Allowance.Convert(feet, p.Basis, core.Net)),
		CubicMetres:    number(core.CubicMetres(feet)),
		ExactBoardFeet: feet.RatString(),
	}
}

func (j *job) moisture(i int, a *core.Account) *ripwrightv1.MoistureChange {
	m := j.request.GetMoisture()
	if m == nil {
		return nil
	}
	c := j.species[i].Between(m.GetFromPercent(), m.GetToPercent())
	out := &ripwrightv1.MoistureChange{
		Equation: map[shrink.Equation]ripwrightv1.MoistureEquation{
			shrink.Unknown:      ripwrightv1.MoistureEquation_MOISTURE_EQUATION_NONE,
			shrink.Coefficient:  ripwrightv1.MoistureEquation_MOISTURE_EQUATION_COEFFICIENT,
			shrink.GreenOvendry: ripwrightv1.MoistureEquation_MOISTURE_EQUATION_GREEN_OVENDRY,
		}[c.Equation],
	}
	if c.Equation == shrink.Unknown {
		return out
	}
	out.RadialPercent, out.TangentialPercent, out.VolumetricPercent = &c.Radial, &c.Tangential, &c.Volumetric
	if a.Sums != nil {
		then := number(a.Sums.BoardFeet(j.terms.Rule, j.packs[i].Thickness)) * (1 + c.Tangential/100)
		out.FlatSawnBoardFeet = &then
	}
	return out
}
