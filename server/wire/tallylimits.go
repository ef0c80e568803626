package wire

import (
	"github.com/ripwright/ripwright/solver/tally"
)

// ForTally are the ranges that only requests about packs have, which server/tally
// reads.
var ForTally = struct {
	Packs, Boards, Lines, Species, Lumber, PastPacks, Stations Range

	Text, OwnText Range

	WidthIn, LengthFt, ThicknessIn                     Range
	Width, Length, Thickness, Scant                    Range
	Along, Across, ReadingError                        Range
	Price, BoardFeet, SomeBoardFeet, Face, TotalLength Range
	Percent, Moisture, Coefficient                     Range
	Pieces, SomePieces, Surface                        Range
}{
	Packs:     Range{Least: 1, Most: tally.MaxPacks},
	Boards:    Range{Most: tally.MaxBoards},
	Lines:     Range{Least: 1, Most: tally.MaxBoards},
	Species:   Range{Most: 200},
	Lumber:    Range{Most: 10_000},
	PastPacks: Range{Most: tally.MaxPast},
	Stations:  stations,

	Text:    ids,
	OwnText: ownIDs,

	WidthIn:     Range{Most: 157, Above: true},
	LengthFt:    Range{Most: 65, Above: true},
	ThicknessIn: Range{Most: 78, Above: true},
	Width:       Range{Most: 4000, Above: true},
	Length:      boardLength,
	Thickness:   thickness,
	Scant:       Range{Most: thickness.Most},

	Along:        alongBoard,
	Across:       across,
	ReadingError: Range{Most: 25},

	Price:         Range{Most: float64(tally.MaxPrice) / millionths},
	BoardFeet:     Range{Most: float64(tally.MaxBoardFeet) / millionths},
	SomeBoardFeet: Range{Most: float64(tally.MaxBoardFeet) / millionths, Above: true},
	Face:          Range{Most: 9000},
	TotalLength:   Range{Most: 1e6, Above: true},

	Percent:     Range{Most: float64(tally.MaxPercent) / millionths},
	Moisture:    Range{Most: 250},
	Coefficient: Range{Most: 0.02},

	Pieces:     Range{Most: tally.MaxPieces, Whole: true},
	SomePieces: Range{Least: 1, Most: tally.MaxPieces, Whole: true},
	Surface:    Range{Most: tally.MaxSurface, Whole: true},
}

// tallyLimits are the limits of those fields, in the schema's order.
var tallyLimits = []Limit{
	{"TallyPackRequest", "packs", Entries, ForTally.Packs},
	{"Pack", "pack_id", Characters, ForTally.OwnText},
	{"Pack", "supplier", Characters, ForTally.Text},
	{"Pack", "species", Characters, ForTally.OwnText},
	{"Pack", "grade", Characters, ForTally.Text},
	{"Pack", "nominal_thickness_in", Numbers, ForTally.ThicknessIn},
	{"Pack", "price_per_mbf", Numbers, ForTally.Price},
	{"Pack", "boards", Entries, ForTally.Boards},
	{"Pack", "min_width_mm", Numbers, ForTally.Width},
	{"Pack", "min_length_mm", Numbers, ForTally.Length},
	{"Pack", "scant_mm", Numbers, ForTally.Scant},
	{"SupplierTally", "board_feet", Numbers, ForTally.BoardFeet},
	{"CountTally", "lines", Entries, ForTally.Lines},
	{"CountLine", "pieces", Numbers, ForTally.SomePieces},
	{"SurfaceTally", "lines", Entries, ForTally.Lines},
	{"SurfaceLine", "surface_ft2", Numbers, ForTally.Surface},
	{"SurfaceLine", "pieces", Numbers, ForTally.SomePieces},
	{"TallyBoard", "board_id", Characters, ForTally.Text},
	{"TallyBoard", "pieces", Numbers, ForTally.SomePieces},
	{"InchSize", "width_in", Numbers, ForTally.WidthIn},
	{"InchSize", "length_ft", Numbers, ForTally.LengthFt},
	{"InchSize", "thickness_in", Numbers, ForTally.ThicknessIn},
	{"MetricSize", "width_mm", Numbers, ForTally.Width},
	{"MetricSize", "length_mm", Numbers, ForTally.Length},
	{"MetricSize", "thickness_mm", Numbers, ForTally.Thickness},
	{"ShrinkageAllowance", "percent", Numbers, ForTally.Percent},
	{"ReadingErrors", "width_sd_mm", Numbers, ForTally.ReadingError},
	{"ReadingErrors", "width_bias_mm", Numbers, ForTally.ReadingError},
	{"ReadingErrors", "length_sd_mm", Numbers, ForTally.ReadingError},
	{"ReadingErrors", "length_bias_mm", Numbers, ForTally.ReadingError},
	{"ReadingErrors", "thickness_sd_mm", Numbers, ForTally.ReadingError},
	{"ReadingErrors", "thickness_bias_mm", Numbers, ForTally.ReadingError},
	{"TallyPackRequest", "species", Entries, ForTally.Species},
	{"SpeciesShrinkage", "name", Characters, ForTally.OwnText},
	{"SpeciesShrinkage", "radial_percent", Numbers, ForTally.Percent},
	{"SpeciesShrinkage", "tangential_percent", Numbers, ForTally.Percent},
	{"SpeciesShrinkage", "volumetric_percent", Numbers, ForTally.Percent},
	{"SpeciesShrinkage", "radial_coefficient", Numbers, ForTally.Coefficient},
	{"SpeciesShrinkage", "tangential_coefficient", Numbers, ForTally.Coefficient},
	{"TallyPackRequest", "lumber", Entries, ForTally.Lumber},
	{"PackLumber", "pack_id", Characters, ForTally.OwnText},
	{"PackLumber", "boards", Numbers, ForTally.Pieces},
	{"PackLumber", "face_m2", Numbers, ForTally.Face},
	{"PackLumber", "board_feet", Numbers, ForTally.BoardFeet},
	{"PackLumber", "length_m", Numbers, ForTally.TotalLength},
	{"TallyPackRequest", "past_packs", Entries, ForTally.PastPacks},
	{"PastPack", "supplier", Characters, ForTally.Text},
	{"PastPack", "tallied_board_feet", Numbers, ForTally.SomeBoardFeet},
	{"PastPack", "measured_board_feet", Numbers, ForTally.BoardFeet},
	{"MoistureSpan", "from_percent", Numbers, ForTally.Moisture},
	{"MoistureSpan", "to_percent", Numbers, ForTally.Moisture},
}
