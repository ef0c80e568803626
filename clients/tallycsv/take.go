package tallycsv

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// take adds a row to its pack.
func (f *file) take(kind string, cells map[string]string) {
	id := cells["pack_id"]
	p := f.packs[id]
	if p == nil {
		p = &pack{index: len(f.sheet.Packs), cells: cells, basis: f.basis(cells, "tally_basis")}
		f.packs[id] = p
		f.sheet.Packs = append(f.sheet.Packs, f.start(cells))
		f.sheet.places = append(f.sheet.places, places{first: f.row})
	} else {
		f.same(p, cells)
	}
	m, at := f.sheet.Packs[p.index], &f.sheet.places[p.index]
	switch kind {
	case rowBoard:
		m.Boards = append(m.Boards, f.board(cells))
		at.boards = append(at.boards, f.row)
	case rowCount:
		line := &ripwrightv1.CountLine{Pieces: f.pieces(cells)}
		if f.metric {
			line.Size = &ripwrightv1.CountLine_Metric{Metric: f.metricSize(cells)}
		} else {
			line.Size = &ripwrightv1.CountLine_Inches{Inches: f.inchSize(cells)}
		}
		if t, ok := f.form(m).(*ripwrightv1.SupplierTally_Counts); ok {
			t.Counts.Lines = append(t.Counts.Lines, line)
		} else if m.Tally.Form == nil {
			m.Tally.Form = &ripwrightv1.SupplierTally_Counts{Counts: &ripwrightv1.CountTally{Lines: []*ripwrightv1.CountLine{line}}}
		} else {
			f.twoForms()
		}
		at.lines = append(at.lines, f.row)
	case rowSurface:
		line := &ripwrightv1.SurfaceLine{SurfaceFt2: f.whole(cells, "surface_ft2", 0), Pieces: f.pieces(cells)}
		if t, ok := f.form(m).(*ripwrightv1.SupplierTally_Surfaces); ok {
			t.Surfaces.Lines = append(t.Surfaces.Lines, line)
		} else if m.Tally.Form == nil {
			m.Tally.Form = &ripwrightv1.SupplierTally_Surfaces{Surfaces: &ripwrightv1.SurfaceTally{Lines: []*ripwrightv1.SurfaceLine{line}}}
		} else {
			f.twoForms()
		}
		at.lines = append(at.lines, f.row)
	case rowTotal:
		feet := f.number(cells, "board_feet", false)
		if f.form(m) != nil {
			f.twoForms()
		}
		m.Tally.Form = &ripwrightv1.SupplierTally_BoardFeet{BoardFeet: feet}
		at.total = f.row
	}
}

// form gives the form of the pack's tally so far.
func (f *file) form(m *ripwrightv1.Pack) any {
	if m.Tally == nil {
		m.Tally = &ripwrightv1.SupplierTally{Basis: f.packs[m.GetPackId()].basis}
	}
	if m.Tally.Form == nil {
		return nil
	}
	return m.Tally.Form
}

func (f *file) twoForms() {
	f.fail("row", "is a different kind of tally than the pack's rows before it; a pack has one total, or counts, or surfaces")
}

// start makes a pack from its first row.
func (f *file) start(cells map[string]string) *ripwrightv1.Pack {
	for _, need := range ofFirstRow {
		if cells[need] == "" {
			f.fail(need, "is blank; the first row of a pack needs it")
		}
	}
	m := &ripwrightv1.Pack{
		PackId: cells["pack_id"], Supplier: cells["supplier"], Species: cells["species"], Grade: cells["grade"],
		PricePerMbf: f.given(cells, "price_per_mbf"), MeasuredBasis: f.basis(cells, "measured_basis"),
		MinWidthMm: f.given(cells, "min_width_mm"), MinLengthMm: f.given(cells, "min_length_mm"),
		ScantMm: f.given(cells, "scant_mm"),
	}
	if cells["nominal_thickness_in"] != "" {
		m.NominalThicknessIn = f.number(cells, "nominal_thickness_in", true)
	}
	switch s := strings.ToLower(cells["scope"]); s {
	case "":
	case "whole":
		m.Scope = ripwrightv1.TallyScope_TALLY_SCOPE_WHOLE_PACK
	case "consumed":
		m.Scope = ripwrightv1.TallyScope_TALLY_SCOPE_CONSUMED_SO_FAR
	default:
		f.fail("scope", fmt.Sprintf("is %q; must be whole or consumed", shown(s)))
	}
	return m
}

// same checks that a later row does not contradict its pack.
func (f *file) same(p *pack, cells map[string]string) {
	for _, c := range columns {
		text, first := cells[c.name], p.cells[c.name]
		if first == "" && slices.Contains(ofFirstRow, c.name) {
			continue // its absence was reported
		}
		if c.use == ofPack && text != "" && text != first {
			f.fail(c.name, fmt.Sprintf("is %q; the first row of the pack, row %d, says %q", shown(text),
				f.sheet.places[p.index].first, shown(first)))
		}
	}
}

func (f *file) board(cells map[string]string) *ripwrightv1.TallyBoard {
	b := &ripwrightv1.TallyBoard{BoardId: cells["board_id"], Pieces: f.pieces(cells)}
	if f.metric {
		b.Size = &ripwrightv1.TallyBoard_Metric{Metric: f.metricSize(cells)}
	} else {
		b.Size = &ripwrightv1.TallyBoard_Inches{Inches: f.inchSize(cells)}
	}
	switch c := strings.ToLower(cells["consumed"]); c {
	case "", "no":
	case "yes":
		b.Consumed = true
	default:
		f.fail("consumed", fmt.Sprintf("is %q; must be yes or no", shown(c)))
	}
	return b
}

func (f *file) inchSize(cells map[string]string) *ripwrightv1.InchSize {
	return &ripwrightv1.InchSize{WidthIn: f.number(cells, "width_in", true), LengthFt: f.number(cells, "length_ft", true),
		ThicknessIn: f.given(cells, "thickness_in")}
}

func (f *file) metricSize(cells map[string]string) *ripwrightv1.MetricSize {
	return &ripwrightv1.MetricSize{WidthMm: f.number(cells, "width_mm", true), LengthMm: f.number(cells, "length_mm", true),
		ThicknessMm: f.given(cells, "thickness_mm")}
}

// number reads a cell; a blank one is 0, since its absence was checked before.
func (f *file) number(cells map[string]string, column string, above bool) float64 {
	text := cells[column]
	if text == "" {
		return 0
	}
	v, err := number(text)
	switch {
	case err != nil:
		f.fail(column, err.Error())
	case above && v <= 0:
		f.fail(column, "is "+text+"; must be above 0")
	case v < 0:
		f.fail(column, "is "+text+"; must not be below 0")
	}
	return v + 0 // no negative zero
}

// given reads a cell that may be blank: nil if it is.
func (f *file) given(cells map[string]string, column string) *float64 {
	if cells[column] == "" {
		return nil
	}
	return proto.Float64(f.number(cells, column, false))
}

func (f *file) whole(cells map[string]string, column string, least float64) int32 {
	before := len(f.errors)
	v := f.number(cells, column, false)
	if len(f.errors) > before {
		return 0
	}
	if v != math.Trunc(v) || v < least || v > math.MaxInt32 {
		f.fail(column, fmt.Sprintf("is %s; must be a whole number of at least %g", shown(cells[column]), least))
		return 0
	}
	return int32(v)
}

func (f *file) pieces(cells map[string]string) *int32 {
	if cells["pieces"] == "" {
		return nil
	}
	n := f.whole(cells, "pieces", 1)
	return &n
}

func (f *file) basis(cells map[string]string, column string) ripwrightv1.TallyBasis {
	switch b := strings.ToLower(cells[column]); b {
	case "":
	case "gross":
		return ripwrightv1.TallyBasis_TALLY_BASIS_GROSS
	case "net":
		return ripwrightv1.TallyBasis_TALLY_BASIS_NET
	default:
		f.fail(column, fmt.Sprintf("is %q; must be gross or net", shown(b)))
	}
	return ripwrightv1.TallyBasis_TALLY_BASIS_UNSPECIFIED
}
