package tally

import (
	"fmt"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
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
	species []shrink.Species // parallel to packs
}

// read makes a request ready. The error is a fault.List.
func read(m *ripwrightv1.TallyPackRequest) (*job, error) {
	var r reader
	j := &job{request: m}
	r.terms(j)
	r.text("currency", m.GetCurrency(), ranges.Currency)
	if !r.entries("packs", len(m.GetPacks()), ranges.Packs) || !r.entryTotal(m) {
		return nil, r.faults
	}
	own := r.species(m.GetSpecies())
	ids := map[string]int{}
	j.packs, j.species = make([]core.Pack, len(m.GetPacks())), make([]shrink.Species, len(m.GetPacks()))
	for i, p := range m.GetPacks() {
		at := entry("packs", i)
		j.packs[i] = r.pack(at, p, j)
		if first, twice := ids[p.GetPackId()]; twice && p.GetPackId() != "" {
			r.faults.Because(fault.Duplicate, at+".pack_id", "is %q, which packs[%d] has too; every pack needs an id of its own", short(p.GetPackId()), first)
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
			r.faults.Because(fault.UnknownName, at+".species", "is %q, which is not known; must be %s, or stated in species",
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

// species reads the request's own species, by name in lower case.
func (r *reader) species(list []*ripwrightv1.SpeciesShrinkage) map[string]shrink.Species {
	own := map[string]shrink.Species{}
	if !r.entries("species", len(list), ranges.Species) {
		return own
	}
	for i, m := range list {
		at := entry("species", i)
		name := strings.ToLower(r.text(at+".name", m.GetName(), ranges.OwnText))
		if _, twice := own[name]; twice && name != "" {
			r.faults.Because(fault.Duplicate, at+".name", "is given twice; names that differ only in case are the same")
		}
		own[name] = shrink.Species{Name: m.GetName(),
			Radial:                r.plain(at+".radial_percent", m.GetRadialPercent(), ranges.Percent),
			Tangential:            r.plain(at+".tangential_percent", m.GetTangentialPercent(), ranges.Percent),
			Volumetric:            r.plain(at+".volumetric_percent", m.GetVolumetricPercent(), ranges.Percent),
			RadialCoefficient:     r.plain(at+".radial_coefficient", m.GetRadialCoefficient(), ranges.Coefficient),
			TangentialCoefficient: r.plain(at+".tangential_coefficient", m.GetTangentialCoefficient(), ranges.Coefficient)}
	}
	return own
}

// lumber assigns what runs consumed to their packs.
func (r *reader) lumber(j *job, ids map[string]int) {
	if !r.entries("lumber", len(j.request.GetLumber()), ranges.Lumber) {
		return
	}
	for i, m := range j.request.GetLumber() {
		at := entry("lumber", i)
		if n := m.GetBoards(); n < 0 || n > core.MaxPieces {
			r.faults.Because(fault.OutOfRange, at+".boards", "is %d; must be 0 to %d", n, core.MaxPieces)
		}
		r.number(at+".board_feet", m.GetBoardFeet(), ranges.BoardFeet, 1)
		if l := m.GetLengthM(); l > 0 && ranges.Face.Holds(m.GetFaceM2()) && m.GetFaceM2() > maxAcross*l {
			r.faults.Add(at+".length_m", "is %g for a face of %g m2; must be at least a quarter of it, or absent if not known", l, m.GetFaceM2())
		}
		run := core.Run{Boards: int64(m.GetBoards()),
			Face:   unit.Area(r.number(at+".face_m2", m.GetFaceM2(), ranges.Face, float64(unit.SquareMetre))),
			Length: r.maybe(at+".length_m", m.LengthM, ranges.TotalLength, 1000*unit.Millimetre)}
		p, known := ids[r.text(at+".pack_id", m.GetPackId(), ranges.OwnText)]
		switch {
		case m.GetPackId() == "":
		case !known:
			r.faults.Because(fault.UnknownName, at+".pack_id", "is %q, which is not one of the packs", short(m.GetPackId()))
		default:
			j.packs[p].Runs = append(j.packs[p].Runs, run)
		}
	}
}

// short cuts a caller's string to a length that fits a message.
func short(s string) string {
	if r := []rune(s); len(r) > int(ranges.Text.Most) {
		return fmt.Sprintf("%s...", string(r[:int(ranges.Text.Most)]))
	}
	return s
}
