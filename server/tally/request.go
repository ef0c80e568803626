package tally

import (
	"fmt"
	"math/big"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	core "github.com/ripwright/ripwright/solver/tally"
	"github.com/ripwright/ripwright/solver/tally/shrink"
	"github.com/ripwright/ripwright/solver/unit"
)

// job is a request made ready for the solver.
type job struct {
	request *ripwrightv1.TallyPackRequest
	terms   core.Terms
	width   core.TakenAt
	packs   []core.Pack
	species []shrink.Species // beside packs
}

// The errors of readings where the request says none: those of a scanner and
// encoder in fair order.
const (
	widthSD     = 500 * unit.Micrometre
	lengthSD    = 3 * unit.Millimetre
	thicknessSD = 200 * unit.Micrometre
)

// defaultPercent is the middle of what the trade allows from green to
// kiln-dried, 5 to 9 %.
const defaultPercent = 7

// read makes a request ready. The error is a fault.List.
func read(m *ripwrightv1.TallyPackRequest) (*job, error) {
	var r reader
	j := &job{request: m}
	r.terms(j)
	if !r.entries("packs", len(m.GetPacks()), 1, core.MaxPacks) || !r.entryTotal(m) {
		return nil, r.faults
	}
	own := r.species(m.GetSpecies())
	ids := map[string]int{}
	j.packs, j.species = make([]core.Pack, len(m.GetPacks())), make([]shrink.Species, len(m.GetPacks()))
	for i, p := range m.GetPacks() {
		at := entry("packs", i)
		j.packs[i] = r.pack(at, p, j)
		if first, twice := ids[p.GetPackId()]; twice && p.GetPackId() != "" {
			r.faults.Add(at+".pack_id", "is that of packs[%d] too; ids must differ", first)
		} else {
			ids[p.GetPackId()] = i
		}
		if p.GetSpecies() == "" {
			continue
		}
		s, known := own[strings.ToLower(p.GetSpecies())]
		if !known {
			s, known = shrink.Find(p.GetSpecies())
		}
		if !known {
			r.faults.Add(at+".species", "is %q, which is not known; must be %s, or stated in species",
				short(p.GetSpecies()), strings.Join(shrink.Known(), ", "))
		}
		j.species[i], j.packs[i].Species = s, s.Name
	}
	r.lumber(j, ids)
	return j, r.faults.Err()
}

// entryTotal bounds the entries of all packs together before they are read.
func (r *reader) entryTotal(m *ripwrightv1.TallyPackRequest) bool {
	n := 0
	for _, p := range m.GetPacks() {
		n += len(p.GetBoards()) + len(p.GetTally().GetCounts().GetLines()) + len(p.GetTally().GetSurfaces().GetLines())
	}
	if n > core.MaxAll {
		r.faults.Add("packs", "have %d boards and lines in all; at most %d are taken", n, core.MaxAll)
	}
	return n <= core.MaxAll
}

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
		t.Allowance.Percent = r.number("allowance.percent", a.GetPercent(), percent, millionths)
		t.Allowance.Convention = choice(r, "allowance.convention", a.GetConvention(), ripwrightv1.AllowanceConvention_name,
			map[ripwrightv1.AllowanceConvention]core.Convention{
				ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_UNSPECIFIED: core.Subtract,
				ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_SUBTRACT:    core.Subtract,
				ripwrightv1.AllowanceConvention_ALLOWANCE_CONVENTION_DIVIDE:      core.Divide,
			})
	}
	e := m.GetReadingErrors()
	or := func(field string, v *float64, otherwise unit.Length) unit.Length {
		if v == nil {
			return otherwise
		}
		return r.size("reading_errors."+field, *v, errorMM, unit.Millimetre)
	}
	if e == nil {
		e = &ripwrightv1.ReadingErrors{}
	}
	t.Instrument = core.Instrument{
		Width:     core.Error{SD: or("width_sd_mm", e.WidthSdMm, widthSD), Bias: or("width_bias_mm", e.WidthBiasMm, 0)},
		Length:    core.Error{SD: or("length_sd_mm", e.LengthSdMm, lengthSD), Bias: or("length_bias_mm", e.LengthBiasMm, 0)},
		Thickness: core.Error{SD: or("thickness_sd_mm", e.ThicknessSdMm, thicknessSD), Bias: or("thickness_bias_mm", e.ThicknessBiasMm, 0)},
	}
	j.width = choice(r, "profile_width", m.GetProfileWidth(), ripwrightv1.ProfileWidth_name, map[ripwrightv1.ProfileWidth]core.TakenAt{
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_UNSPECIFIED: core.AtThird,
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_AT_THIRD:    core.AtThird,
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_MEAN:        core.AtMean,
		ripwrightv1.ProfileWidth_PROFILE_WIDTH_LEAST:       core.AtLeast,
	})
	if s := m.GetMoisture(); s != nil {
		r.plain("moisture.from_percent", s.GetFromPercent(), moisture)
		r.plain("moisture.to_percent", s.GetToPercent(), moisture)
	}
	if r.entries("past_packs", len(m.GetPastPacks()), 0, core.MaxPast) {
		for i, p := range m.GetPastPacks() {
			at := entry("past_packs", i)
			feet := func(field string, v float64, g limits) *big.Rat {
				return big.NewRat(r.number(at+"."+field, v, g, millionths), millionths)
			}
			past := core.Past{Supplier: r.text(at+".supplier", p.GetSupplier(), false),
				Tallied:  feet("tallied_board_feet", p.GetTalliedBoardFeet(), someFeet),
				Measured: feet("measured_board_feet", p.GetMeasuredBoardFeet(), boardFeet)}
			if past.Tallied.Sign() == 0 && p.GetTalliedBoardFeet() > 0 {
				r.faults.Add(at+".tallied_board_feet", "is %g, which rounds to 0 millionths; must be %s", p.GetTalliedBoardFeet(), someFeet)
			}
			t.Past = append(t.Past, past)
		}
	}
}

// species reads the request's own, by name in small letters.
func (r *reader) species(list []*ripwrightv1.SpeciesShrinkage) map[string]shrink.Species {
	own := map[string]shrink.Species{}
	if !r.entries("species", len(list), 0, maxSpecies) {
		return own
	}
	for i, m := range list {
		at := entry("species", i)
		name := strings.ToLower(r.text(at+".name", m.GetName(), true))
		if _, twice := own[name]; twice && name != "" {
			r.faults.Add(at+".name", "is there twice; names must differ by more than capitals")
		}
		own[name] = shrink.Species{Name: m.GetName(),
			Radial:                r.plain(at+".radial_percent", m.GetRadialPercent(), percent),
			Tangential:            r.plain(at+".tangential_percent", m.GetTangentialPercent(), percent),
			Volumetric:            r.plain(at+".volumetric_percent", m.GetVolumetricPercent(), percent),
			RadialCoefficient:     r.plain(at+".radial_coefficient", m.GetRadialCoefficient(), coefficient),
			TangentialCoefficient: r.plain(at+".tangential_coefficient", m.GetTangentialCoefficient(), coefficient)}
	}
	return own
}

// lumber puts what runs consumed to their packs.
func (r *reader) lumber(j *job, ids map[string]int) {
	if !r.entries("lumber", len(j.request.GetLumber()), 0, maxLumber) {
		return
	}
	for i, m := range j.request.GetLumber() {
		at := entry("lumber", i)
		if n := m.GetBoards(); n < 0 || n > core.MaxPieces {
			r.faults.Add(at+".boards", "is %d; must be 0 to %d", n, core.MaxPieces)
		}
		run := core.Run{Boards: int64(m.GetBoards()),
			Face:   unit.Area(r.number(at+".face_m2", m.GetFaceM2(), faceM2, float64(unit.SquareMetre))),
			Length: unit.Length(r.number(at+".length_m", m.GetLengthM(), totalM, 1000*float64(unit.Millimetre)))}
		p, known := ids[r.text(at+".pack_id", m.GetPackId(), true)]
		switch {
		case m.GetPackId() == "":
		case !known:
			r.faults.Add(at+".pack_id", "is %q, which is none of the packs", short(m.GetPackId()))
		default:
			j.packs[p].Runs = append(j.packs[p].Runs, run)
		}
	}
}

// short cuts a caller's string to what fits a message.
func short(s string) string {
	if r := []rune(s); len(r) > maxText {
		return fmt.Sprintf("%s...", string(r[:maxText]))
	}
	return s
}
