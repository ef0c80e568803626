package tallycsv

import (
	"encoding/csv"
	"io"
	"strconv"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// AccountColumns are the columns of WriteAccounts, one row per pack. Board feet are by
// the rule and on the basis that the row names; the five columns from surface_measure_bf
// on are the same boards by every rule on that basis, the last of them in cubic metres as
// measured. Money is in the currency at the end. Blank: not known.
var AccountColumns = []string{
	"pack_id", "supplier", "species", "grade", "nominal_thickness_in", "rule", "basis",
	"boards", "measured_bf", "min_bf", "max_bf",
	"tallied_boards", "tallied_bf", "difference_bf", "difference_percent", "difference_money",
	"explained_lacking_bf", "explained_surplus_bf", "verdict",
	"short", "narrow", "scant",
	"left_boards", "left_bf", "left_min_bf", "left_max_bf", "left_value",
	"surface_measure_bf", "end_tally_bf", "block_tally_bf", "exact_volume_bf", "metric_volume_m3",
	"currency",
}

// WriteAccounts writes the account of each pack.
func WriteAccounts(w io.Writer, m *ripwrightv1.TallyPackResponse) error {
	rows := [][]string{AccountColumns}
	for _, p := range m.GetPacks() {
		row := []string{
			guard(p.GetPackId()), guard(p.GetSupplier()), guard(p.GetSpecies()), guard(p.GetGrade()), plain(p.GetNominalThicknessIn()),
			RuleName(m.GetRule()), basisName(m.GetBasis()),
			whole(p.GetBoards()), maybe(p.MeasuredBoardFeet), maybe(p.MinBoardFeet), maybe(p.MaxBoardFeet),
			maybeWhole(p.TalliedBoards), maybe(p.TalliedBoardFeet),
		}
		if c := p.GetComparison(); c != nil {
			row = append(row, plain(c.GetDifferenceBoardFeet()), maybe(c.DifferencePercent), maybe(c.DifferenceMoney),
				plain(c.GetExplainedLackingBoardFeet()), plain(c.GetExplainedSurplusBoardFeet()), verdicts[c.GetVerdict()])
		} else {
			row = append(row, make([]string, 6)...)
		}
		found := make(map[ripwrightv1.FindingKind]int32)
		for _, f := range p.GetFindings() {
			found[f.GetKind()]++
		}
		for _, k := range findingKinds {
			row = append(row, whole(found[k]))
		}
		if l := p.GetLeft(); l != nil {
			row = append(row, maybeWhole(l.Boards), plain(l.GetBoardFeet()), plain(l.GetMinBoardFeet()), plain(l.GetMaxBoardFeet()), maybe(l.Value))
		} else {
			row = append(row, make([]string, 5)...)
		}
		rows = append(rows, append(append(row, figures(m, p)...), guard(m.GetCurrency())))
	}
	return write(w, rows)
}

// figures gives the boards by every rule, the volume in cubic metres last.
func figures(m *ripwrightv1.TallyPackResponse, p *ripwrightv1.PackAccount) []string {
	cells := make([]string, 5)
	for _, f := range p.GetFigures() {
		i := int(f.GetRule()) - 1
		if i < 0 || i >= len(cells) {
			continue
		}
		switch {
		case f.GetRule() == ripwrightv1.TallyRule_TALLY_RULE_METRIC_VOLUME:
			cells[i] = plain(f.GetCubicMetres())
		case m.GetBasis() == ripwrightv1.TallyBasis_TALLY_BASIS_GROSS:
			cells[i] = plain(f.GetGrossBoardFeet())
		default:
			cells[i] = plain(f.GetNetBoardFeet())
		}
	}
	return cells
}

// GroupColumns are the columns of WriteGroups, one row per group and a last one for all
// packs, whose species is "all".
var GroupColumns = []string{
	"species", "grade", "nominal_thickness_in", "rule", "basis", "packs", "boards", "measured_bf", "tallied_bf",
	"compared_packs", "difference_bf", "difference_money", "left_bf", "left_value", "left_unknown_packs",
	"currency",
}

// WriteGroups writes the totals by species, grade and thickness.
func WriteGroups(w io.Writer, m *ripwrightv1.TallyPackResponse) error {
	rows := [][]string{GroupColumns}
	row := func(species, thickness string, g *ripwrightv1.TallyGroup) {
		rows = append(rows, []string{species, guard(g.GetGrade()), thickness, RuleName(m.GetRule()), basisName(m.GetBasis()),
			whole(g.GetPacks()), whole(g.GetBoards()), plain(g.GetMeasuredBoardFeet()), plain(g.GetTalliedBoardFeet()),
			whole(g.GetComparedPacks()), maybe(g.DifferenceBoardFeet), maybe(g.DifferenceMoney),
			maybe(g.LeftBoardFeet), maybe(g.LeftValue), whole(g.GetLeftUnknownPacks()), guard(m.GetCurrency())})
	}
	for _, g := range m.GetGroups() {
		row(guard(g.GetSpecies()), plain(g.GetNominalThicknessIn()), g)
	}
	row("all", "", m.GetAll())
	return write(w, rows)
}

// SupplierColumns are the columns of WriteSuppliers, one row per supplier.
var SupplierColumns = []string{
	"supplier", "packs", "mean_percent", "sd_percent", "trend_percent_per_pack", "trend_se_percent_per_pack", "tallied_bf", "measured_bf", "mean_lower_percent", "mean_upper_percent",
}

// WriteSuppliers writes how accurate each supplier is.
func WriteSuppliers(w io.Writer, m *ripwrightv1.TallyPackResponse) error {
	rows := [][]string{SupplierColumns}
	for _, s := range m.GetSuppliers() {
		rows = append(rows, []string{guard(s.GetSupplier()), whole(s.GetPacks()), plain(s.GetMeanPercent()), maybe(s.SdPercent),
			maybe(s.TrendPercentPerPack), maybe(s.TrendSePercentPerPack), plain(s.GetTalliedBoardFeet()), plain(s.GetMeasuredBoardFeet()),
			maybe(s.MeanLowerPercent), maybe(s.MeanUpperPercent)})
	}
	return write(w, rows)
}

// FindingColumns are the columns of WriteFindings, one row per finding. The entry counts
// from 1 in the pack's boards.
var FindingColumns = []string{"pack_id", "entry", "board_id", "finding", "measured_mm", "min_mm"}

// WriteFindings writes the boards that are short, narrow or scant.
func WriteFindings(w io.Writer, m *ripwrightv1.TallyPackResponse) error {
	rows := [][]string{FindingColumns}
	for _, p := range m.GetPacks() {
		for _, f := range p.GetFindings() {
			rows = append(rows, []string{guard(p.GetPackId()), whole(f.GetIndex() + 1), guard(f.GetBoardId()), findings[f.GetKind()],
				plain(f.GetMeasuredMm()), plain(f.GetMinMm())})
		}
	}
	return write(w, rows)
}

func write(w io.Writer, rows [][]string) error { return csv.NewWriter(w).WriteAll(rows) }

var ruleNames = map[ripwrightv1.TallyRule]string{
	ripwrightv1.TallyRule_TALLY_RULE_UNSPECIFIED:     "",
	ripwrightv1.TallyRule_TALLY_RULE_SURFACE_MEASURE: "surface measure",
	ripwrightv1.TallyRule_TALLY_RULE_END_TALLY:       "end tally",
	ripwrightv1.TallyRule_TALLY_RULE_BLOCK_TALLY:     "block tally",
	ripwrightv1.TallyRule_TALLY_RULE_EXACT_VOLUME:    "exact volume",
	ripwrightv1.TallyRule_TALLY_RULE_METRIC_VOLUME:   "metric volume",
}

// RuleName gives a rule's name in words.
func RuleName(r ripwrightv1.TallyRule) string { return ruleNames[r] }

var verdicts = map[ripwrightv1.TallyVerdict]string{
	ripwrightv1.TallyVerdict_TALLY_VERDICT_UNSPECIFIED: "",
	ripwrightv1.TallyVerdict_TALLY_VERDICT_AGREES:      "agrees",
	ripwrightv1.TallyVerdict_TALLY_VERDICT_LACKS:       "lacks",
	ripwrightv1.TallyVerdict_TALLY_VERDICT_EXCEEDS:     "exceeds",
}

var findingKinds = []ripwrightv1.FindingKind{ripwrightv1.FindingKind_FINDING_KIND_SHORT,
	ripwrightv1.FindingKind_FINDING_KIND_NARROW, ripwrightv1.FindingKind_FINDING_KIND_SCANT}

var findings = map[ripwrightv1.FindingKind]string{
	ripwrightv1.FindingKind_FINDING_KIND_UNSPECIFIED: "",
	ripwrightv1.FindingKind_FINDING_KIND_SHORT:       "short",
	ripwrightv1.FindingKind_FINDING_KIND_NARROW:      "narrow",
	ripwrightv1.FindingKind_FINDING_KIND_SCANT:       "scant",
}

func whole(n int32) string { return strconv.Itoa(int(n)) }

func maybe(v *float64) string {
	if v == nil {
		return ""
	}
	return plain(*v)
}

func maybeWhole(n *int32) string {
	if n == nil {
		return ""
	}
	return whole(*n)
}
