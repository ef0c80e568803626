package tallycsv

import "slices"

// use says which rows may use a column.
type use int

const (
	everyRow use = iota
	ofPack
	ofRow
)

// column is a column that is read.
type column struct {
	name string
	use  use
	rows []string // ofRow: kinds of rows that may use it
	need []string // kinds of rows that need it
}

// The kinds of rows.
const (
	rowBoard   = "board"
	rowCount   = "count"
	rowSurface = "surface"
	rowTotal   = "total"
)

var (
	sized  = []string{rowBoard, rowCount}
	boards = []string{rowBoard}
)

var columns = []column{
	{name: "pack_id", use: everyRow},
	{name: "row", use: everyRow},
	{name: "supplier", use: ofPack},
	{name: "species", use: ofPack},
	{name: "grade", use: ofPack},
	{name: "nominal_thickness_in", use: ofPack},
	{name: "price_per_mbf", use: ofPack},
	{name: "tally_basis", use: ofPack},
	{name: "measured_basis", use: ofPack},
	{name: "scope", use: ofPack},
	{name: "min_width_mm", use: ofPack},
	{name: "min_length_mm", use: ofPack},
	{name: "scant_mm", use: ofPack},
	{name: "board_id", use: ofRow, rows: boards},
	{name: "width_in", use: ofRow, rows: sized, need: sized},
	{name: "length_ft", use: ofRow, rows: sized, need: sized},
	{name: "thickness_in", use: ofRow, rows: boards},
	{name: "width_mm", use: ofRow, rows: sized, need: sized},
	{name: "length_mm", use: ofRow, rows: sized, need: sized},
	{name: "thickness_mm", use: ofRow, rows: boards},
	{name: "pieces", use: ofRow, rows: []string{rowBoard, rowCount, rowSurface}, need: []string{rowCount, rowSurface}},
	{name: "surface_ft2", use: ofRow, rows: []string{rowSurface}, need: []string{rowSurface}},
	{name: "board_feet", use: ofRow, rows: []string{rowTotal}, need: []string{rowTotal}},
	{name: "consumed", use: ofRow, rows: boards},
}

// ofFirstRow are the columns that the first row of a pack needs.
var ofFirstRow = []string{"species", "nominal_thickness_in"}

// The columns of the two unit systems for sizes.
var (
	inchColumns   = []string{"width_in", "length_ft", "thickness_in"}
	metricColumns = []string{"width_mm", "length_mm", "thickness_mm"}
)

func find(name string) *column {
	i := slices.IndexFunc(columns, func(c column) bool { return c.name == name })
	if i < 0 {
		return nil
	}
	return &columns[i]
}

// Columns lists the names of all columns that are read.
func Columns() []string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	return names
}
