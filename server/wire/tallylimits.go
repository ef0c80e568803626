package wire

import (
	"github.com/ripwright/ripwright/proto/limits"
)

// ForTally are the ranges of fields that only requests about packs have, which
// server/tally reads.
var ForTally = struct {
	Packs, Boards, Lines, Species, Lumber, PastPacks, Stations limits.Range

	Text, OwnText, Currency limits.Range

	WidthIn, LengthFt, ThicknessIn                     limits.Range
	Width, Length, Thickness, Scant                    limits.Range
	Along, Across, ReadingError                        limits.Range
	Price, BoardFeet, SomeBoardFeet, Face, TotalLength limits.Range
	Percent, Moisture, Coefficient                     limits.Range
	Pieces, SomePieces, Surface                        limits.Range
}{
	Packs:     of("TallyPackRequest", "packs", limits.Entries),
	Boards:    of("Pack", "boards", limits.Entries),
	Lines:     of("CountTally", "lines", limits.Entries),
	Species:   of("TallyPackRequest", "species", limits.Entries),
	Lumber:    of("TallyPackRequest", "lumber", limits.Entries),
	PastPacks: of("TallyPackRequest", "past_packs", limits.Entries),
	Stations:  stations,

	Text:     of("Pack", "supplier", limits.Characters),
	Currency: of("TallyPackRequest", "currency", limits.Characters),
	OwnText:  of("Pack", "pack_id", limits.Characters),

	WidthIn:     of("InchSize", "width_in", limits.Numbers),
	LengthFt:    of("InchSize", "length_ft", limits.Numbers),
	ThicknessIn: of("Pack", "nominal_thickness_in", limits.Numbers),
	Width:       of("Pack", "min_width_mm", limits.Numbers),
	Length:      of("Pack", "min_length_mm", limits.Numbers),
	Thickness:   of("MetricSize", "thickness_mm", limits.Numbers),
	Scant:       of("Pack", "scant_mm", limits.Numbers),

	Along:        alongBoard,
	Across:       across,
	ReadingError: of("ReadingErrors", "width_sd_mm", limits.Numbers),

	Price:         of("Pack", "price_per_mbf", limits.Numbers),
	BoardFeet:     of("SupplierTally", "board_feet", limits.Numbers),
	SomeBoardFeet: of("PastPack", "tallied_board_feet", limits.Numbers),
	Face:          of("PackLumber", "face_m2", limits.Numbers),
	TotalLength:   of("PackLumber", "length_m", limits.Numbers),

	Percent:     of("ShrinkageAllowance", "percent", limits.Numbers),
	Moisture:    of("MoistureSpan", "from_percent", limits.Numbers),
	Coefficient: of("SpeciesShrinkage", "radial_coefficient", limits.Numbers),

	Pieces:     of("PackLumber", "boards", limits.Numbers),
	SomePieces: of("CountLine", "pieces", limits.Numbers),
	Surface:    of("SurfaceLine", "surface_ft2", limits.Numbers),
}
