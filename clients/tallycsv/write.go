package tallycsv

import (
	"encoding/csv"
	"fmt"
	"io"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Write writes packs in a form that Read reads back. A table has no place for scanned
// boards, and sizes must all be in one unit.
func Write(w io.Writer, packs []*ripwrightv1.Pack) error {
	t := &table{}
	for _, p := range packs {
		if err := t.pack(p); err != nil {
			return err
		}
	}
	names := Columns()
	kept := names[:0:0]
	for _, n := range names {
		if _, inch := t.used[n]; inch || find(n).use != ofRow {
			kept = append(kept, n)
		}
	}
	out := csv.NewWriter(w)
	if err := out.Write(kept); err != nil {
		return err
	}
	for _, row := range t.rows {
		cells := make([]string, len(kept))
		for i, n := range kept {
			cells[i] = row[n]
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// table collects rows by column.
type table struct {
	rows []map[string]string
	used map[string]bool
	unit string
}

func (t *table) add(head, row map[string]string) {
	if t.used == nil {
		t.used = map[string]bool{}
	}
	for k := range row {
		t.used[k] = true
	}
	for k, v := range head {
		row[k] = v
	}
	t.rows = append(t.rows, row)
}

func (t *table) pack(p *ripwrightv1.Pack) error {
	first := map[string]string{
		"pack_id": guard(p.GetPackId()), "supplier": guard(p.GetSupplier()), "species": guard(p.GetSpecies()), "grade": guard(p.GetGrade()),
		"nominal_thickness_in": plain(p.GetNominalThicknessIn()), "price_per_mbf": maybe(p.PricePerMbf),
		"tally_basis": basisName(p.GetTally().GetBasis()), "measured_basis": basisName(p.GetMeasuredBasis()),
		"min_width_mm": maybe(p.MinWidthMm), "min_length_mm": maybe(p.MinLengthMm),
		"scant_mm": maybe(p.ScantMm),
		"scope": map[ripwrightv1.TallyScope]string{
			ripwrightv1.TallyScope_TALLY_SCOPE_UNSPECIFIED:     "",
			ripwrightv1.TallyScope_TALLY_SCOPE_WHOLE_PACK:      "whole",
			ripwrightv1.TallyScope_TALLY_SCOPE_CONSUMED_SO_FAR: "consumed",
		}[p.GetScope()],
	}
	head := first
	row := func(cells map[string]string) {
		t.add(head, cells)
		head = map[string]string{"pack_id": first["pack_id"]}
	}
	switch f := p.GetTally().GetForm().(type) {
	case *ripwrightv1.SupplierTally_BoardFeet:
		row(map[string]string{"row": rowTotal, "board_feet": plain(f.BoardFeet)})
	case *ripwrightv1.SupplierTally_Counts:
		for _, l := range f.Counts.GetLines() {
			cells, err := t.size(l.GetInches(), l.GetMetric())
			if err != nil {
				return fmt.Errorf("pack %q: %w", p.GetPackId(), err)
			}
			cells["row"], cells["pieces"] = rowCount, plain(float64(count(l.Pieces)))
			row(cells)
		}
	case *ripwrightv1.SupplierTally_Surfaces:
		for _, l := range f.Surfaces.GetLines() {
			row(map[string]string{"row": rowSurface, "surface_ft2": plain(float64(l.GetSurfaceFt2())), "pieces": plain(float64(count(l.Pieces)))})
		}
	}
	for _, b := range p.GetBoards() {
		cells, err := t.size(b.GetInches(), b.GetMetric())
		if err != nil {
			return fmt.Errorf("pack %q: %w", p.GetPackId(), err)
		}
		cells["row"], cells["board_id"] = rowBoard, guard(b.GetBoardId())
		if b.Pieces != nil {
			cells["pieces"] = plain(float64(b.GetPieces()))
		}
		if b.GetConsumed() {
			cells["consumed"] = "yes"
		}
		row(cells)
	}
	return nil
}

func (t *table) size(inches *ripwrightv1.InchSize, metric *ripwrightv1.MetricSize) (map[string]string, error) {
	cells, unit := map[string]string{}, ""
	switch {
	case inches != nil:
		unit = "inches and feet"
		cells["width_in"], cells["length_ft"], cells["thickness_in"] = plain(inches.GetWidthIn()), plain(inches.GetLengthFt()), maybe(inches.ThicknessIn)
	case metric != nil:
		unit = "millimetres"
		cells["width_mm"], cells["length_mm"], cells["thickness_mm"] = plain(metric.GetWidthMm()), plain(metric.GetLengthMm()), maybe(metric.ThicknessMm)
	default:
		return nil, fmt.Errorf("a board or line has no width and length to write")
	}
	if t.unit != "" && t.unit != unit {
		return nil, fmt.Errorf("a size is in %s and those before it in %s; a file has one unit", unit, t.unit)
	}
	t.unit = unit
	return cells, nil
}

func count(n *int32) int32 {
	if n == nil {
		return 1
	}
	return *n
}

func basisName(b ripwrightv1.TallyBasis) string {
	return map[ripwrightv1.TallyBasis]string{
		ripwrightv1.TallyBasis_TALLY_BASIS_UNSPECIFIED: "",
		ripwrightv1.TallyBasis_TALLY_BASIS_GROSS:       "gross",
		ripwrightv1.TallyBasis_TALLY_BASIS_NET:         "net",
	}[b]
}
