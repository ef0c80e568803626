package tally

import (
	"errors"
	"math"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
)

// full sets every field of a request.
const full = `{
 "packs": [
  {"pack_id": "P1", "supplier": "Fenmoor", "species": "White Ash", "grade": "FAS", "nominal_thickness_in": 1.25, "price_per_mbf": 2000,
   "tally": {"counts": {"lines": [{"inches": {"width_in": 6, "length_ft": 8}, "pieces": 3}]}, "basis": "TALLY_BASIS_GROSS"},
   "boards": [
    {"board_id": "b1", "metric": {"width_mm": 152.4, "length_mm": 2438.4, "thickness_mm": 31.75}, "pieces": 2, "consumed": true},
    {"board_id": "b2", "profile": {"length_mm": 2438.4, "thickness_mm": 31.75, "stations": [{"x_mm": 0, "near_mm": 1, "far_mm": 150}, {"x_mm": 2000, "near_mm": 2, "far_mm": 160}]}}],
   "measured_basis": "TALLY_BASIS_NET", "scope": "TALLY_SCOPE_WHOLE_PACK", "min_width_mm": 100, "min_length_mm": 1800, "scant_mm": 1},
  {"pack_id": "P2", "species": "wishwood", "nominal_thickness_in": 1, "tally": {"surfaces": {"lines": [{"surface_ft2": 9, "pieces": 4}]}}},
  {"pack_id": "P3", "species": "sweetgum", "nominal_thickness_in": 1, "tally": {"board_feet": 500},
   "boards": [{"inches": {"width_in": 6, "length_ft": 8, "thickness_in": 1}}]}],
 "rule": "TALLY_RULE_END_TALLY", "basis": "TALLY_BASIS_NET",
 "allowance": {"convention": "ALLOWANCE_CONVENTION_DIVIDE", "percent": 8},
 "reading_errors": {"width_sd_mm": 1, "width_bias_mm": 1, "length_sd_mm": 1, "length_bias_mm": 1, "thickness_sd_mm": 1, "thickness_bias_mm": 1},
 "profile_width": "PROFILE_WIDTH_MEAN",
 "species": [{"name": "Wishwood", "radial_percent": 4, "tangential_percent": 8, "volumetric_percent": 12, "radial_coefficient": 0.001, "tangential_coefficient": 0.002}],
 "lumber": [{"pack_id": "P2", "boards": 2, "face_m2": 1.5, "board_feet": 16.1, "length_m": 5}],
 "past_packs": [{"supplier": "Fenmoor", "tallied_board_feet": 1000, "measured_board_feet": 990}],
 "moisture": {"from_percent": 40, "to_percent": 8}
}`

func request(t *testing.T) *ripwrightv1.TallyPackRequest {
	t.Helper()
	var m ripwrightv1.TallyPackRequest
	if err := protojson.Unmarshal([]byte(full), &m); err != nil {
		t.Fatal(err)
	}
	return &m
}

// Each mistake alone is reported by its path, once, and nothing is computed.
func TestMistakes(t *testing.T) {
	type r = ripwrightv1.TallyPackRequest
	long := strings.Repeat("x", int(ranges.Text.Most)+1)
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		spoil func(*r)
		path  string
	}{
		"no packs":          {func(m *r) { m.Packs = nil; m.Lumber = nil }, "packs"},
		"too many packs":    {func(m *r) { m.Packs = make([]*ripwrightv1.Pack, 1001) }, "packs"},
		"no id":             {func(m *r) { m.Packs[0].PackId = "" }, "packs[0].pack_id"},
		"long id":           {func(m *r) { m.Packs[0].PackId = long }, "packs[0].pack_id"},
		"same id":           {func(m *r) { m.Packs[2].PackId = "P1" }, "packs[2].pack_id"},
		"long supplier":     {func(m *r) { m.Packs[0].Supplier = long }, "packs[0].supplier"},
		"long grade":        {func(m *r) { m.Packs[0].Grade = long }, "packs[0].grade"},
		"no species":        {func(m *r) { m.Packs[0].Species = "" }, "packs[0].species"},
		"unknown species":   {func(m *r) { m.Packs[0].Species = "moonwood" }, "packs[0].species"},
		"no thickness":      {func(m *r) { m.Packs[0].NominalThicknessIn = 0 }, "packs[0].nominal_thickness_in"},
		"no real thickness": {func(m *r) { m.Packs[0].NominalThicknessIn = 1e-12 }, "packs[0].nominal_thickness_in"},
		"NaN thickness":     {func(m *r) { m.Packs[0].NominalThicknessIn = nan }, "packs[0].nominal_thickness_in"},
		"price":             {func(m *r) { m.Packs[0].PricePerMbf = proto.Float64(-1) }, "packs[0].price_per_mbf"},
		"infinite price":    {func(m *r) { m.Packs[0].PricePerMbf = proto.Float64(inf) }, "packs[0].price_per_mbf"},
		"measured basis":    {func(m *r) { m.Packs[0].MeasuredBasis = 9 }, "packs[0].measured_basis"},
		"scope":             {func(m *r) { m.Packs[0].Scope = 9 }, "packs[0].scope"},
		"least width":       {func(m *r) { m.Packs[0].MinWidthMm = proto.Float64(4001) }, "packs[0].min_width_mm"},
		"least length":      {func(m *r) { m.Packs[0].MinLengthMm = proto.Float64(-1) }, "packs[0].min_length_mm"},
		"scant":             {func(m *r) { m.Packs[0].ScantMm = proto.Float64(-1) }, "packs[0].scant_mm"},
		"nothing":           {func(m *r) { m.Packs[2].Boards, m.Packs[2].Tally = nil, nil }, "packs[2]"},
		"empty tally":       {func(m *r) { m.Packs[2].Tally.Form = nil }, "packs[2].tally"},
		"tally basis":       {func(m *r) { m.Packs[0].Tally.Basis = -1 }, "packs[0].tally.basis"},
		"total":             {func(m *r) { m.Packs[2].Tally.Form.(*ripwrightv1.SupplierTally_BoardFeet).BoardFeet = 2e9 }, "packs[2].tally.board_feet"},
		"no lines":          {func(m *r) { m.Packs[0].Tally.GetCounts().Lines = nil }, "packs[0].tally.counts.lines"},
		"line without size": {func(m *r) { m.Packs[0].Tally.GetCounts().Lines[0].Size = nil }, "packs[0].tally.counts.lines[0]"},
		"line's pieces":     {func(m *r) { m.Packs[0].Tally.GetCounts().Lines[0].Pieces = proto.Int32(0) }, "packs[0].tally.counts.lines[0].pieces"},
		"line's width":      {func(m *r) { m.Packs[0].Tally.GetCounts().Lines[0].GetInches().WidthIn = 158 }, "packs[0].tally.counts.lines[0].inches.width_in"},
		"line's length":     {func(m *r) { m.Packs[0].Tally.GetCounts().Lines[0].GetInches().LengthFt = 66 }, "packs[0].tally.counts.lines[0].inches.length_ft"},
		"line's thickness":  {func(m *r) { m.Packs[0].Tally.GetCounts().Lines[0].GetInches().ThicknessIn = proto.Float64(1) }, "packs[0].tally.counts.lines[0]"},
		"too many pieces": {func(m *r) {
			l := m.Packs[0].Tally.GetCounts()
			l.Lines[0].Pieces = proto.Int32(1_000_000)
			l.Lines = append(l.Lines, l.Lines[0])
		}, "packs[0].tally.counts.lines"},
		"no surfaces":         {func(m *r) { m.Packs[1].Tally.GetSurfaces().Lines = nil }, "packs[1].tally.surfaces.lines"},
		"surface":             {func(m *r) { m.Packs[1].Tally.GetSurfaces().Lines[0].SurfaceFt2 = -1 }, "packs[1].tally.surfaces.lines[0].surface_ft2"},
		"surface's pieces":    {func(m *r) { m.Packs[1].Tally.GetSurfaces().Lines[0].Pieces = proto.Int32(-4) }, "packs[1].tally.surfaces.lines[0].pieces"},
		"board id":            {func(m *r) { m.Packs[0].Boards[0].BoardId = long }, "packs[0].boards[0].board_id"},
		"board without size":  {func(m *r) { m.Packs[0].Boards[0].Size = nil }, "packs[0].boards[0]"},
		"board's pieces":      {func(m *r) { m.Packs[0].Boards[0].Pieces = proto.Int32(1_000_001) }, "packs[0].boards[0].pieces"},
		"pieces of a scan":    {func(m *r) { m.Packs[0].Boards[1].Pieces = proto.Int32(2) }, "packs[0].boards[1].pieces"},
		"negative width":      {func(m *r) { m.Packs[0].Boards[0].GetMetric().WidthMm = -152 }, "packs[0].boards[0].metric.width_mm"},
		"negative length":     {func(m *r) { m.Packs[0].Boards[0].GetMetric().LengthMm = -2438 }, "packs[0].boards[0].metric.length_mm"},
		"board's thickness":   {func(m *r) { m.Packs[0].Boards[0].GetMetric().ThicknessMm = proto.Float64(2001) }, "packs[0].boards[0].metric.thickness_mm"},
		"inches thick":        {func(m *r) { m.Packs[2].Boards[0].GetInches().ThicknessIn = proto.Float64(79) }, "packs[2].boards[0].inches.thickness_in"},
		"mixed units":         {func(m *r) { m.Packs[0].Boards = append(m.Packs[0].Boards, m.Packs[2].Boards[0]) }, "packs[0].boards[2].inches"},
		"scan without length": {func(m *r) { m.Packs[0].Boards[1].GetProfile().LengthMm = 0 }, "packs[0].boards[1].profile.length_mm"},
		"scan's thickness":    {func(m *r) { m.Packs[0].Boards[1].GetProfile().ThicknessMm = proto.Float64(nan) }, "packs[0].boards[1].profile.thickness_mm"},
		"no stations":         {func(m *r) { m.Packs[0].Boards[1].GetProfile().Stations = nil }, "packs[0].boards[1].profile.stations"},
		"station off":         {func(m *r) { m.Packs[0].Boards[1].GetProfile().Stations[1].XMm = 3000 }, "packs[0].boards[1].profile.stations[1].x_mm"},
		"near too far":        {func(m *r) { m.Packs[0].Boards[1].GetProfile().Stations[1].NearMm = -2001 }, "packs[0].boards[1].profile.stations[1].near_mm"},
		"crossing edges":      {func(m *r) { m.Packs[0].Boards[1].GetProfile().Stations[1].FarMm = -5 }, "packs[0].boards[1].profile.stations[1].far_mm"},
		"rule":                {func(m *r) { m.Rule = 77 }, "rule"},
		"basis":               {func(m *r) { m.Basis = 77 }, "basis"},
		"convention":          {func(m *r) { m.Allowance.Convention = 77 }, "allowance.convention"},
		"percent":             {func(m *r) { m.Allowance.Percent = proto.Float64(51) }, "allowance.percent"},
		"width error":         {func(m *r) { m.ReadingErrors.WidthSdMm = proto.Float64(26) }, "reading_errors.width_sd_mm"},
		"width bias":          {func(m *r) { m.ReadingErrors.WidthBiasMm = proto.Float64(-1) }, "reading_errors.width_bias_mm"},
		"length error":        {func(m *r) { m.ReadingErrors.LengthSdMm = proto.Float64(-1) }, "reading_errors.length_sd_mm"},
		"length bias":         {func(m *r) { m.ReadingErrors.LengthBiasMm = proto.Float64(-1) }, "reading_errors.length_bias_mm"},
		"thickness error":     {func(m *r) { m.ReadingErrors.ThicknessSdMm = proto.Float64(-1) }, "reading_errors.thickness_sd_mm"},
		"thickness bias":      {func(m *r) { m.ReadingErrors.ThicknessBiasMm = proto.Float64(nan) }, "reading_errors.thickness_bias_mm"},
		"profile width":       {func(m *r) { m.ProfileWidth = 77 }, "profile_width"},
		"species name":        {func(m *r) { m.Species = append(m.Species, &ripwrightv1.SpeciesShrinkage{}) }, "species[1].name"},
		"species twice":       {func(m *r) { m.Species = append(m.Species, &ripwrightv1.SpeciesShrinkage{Name: "WISHWOOD"}) }, "species[1].name"},
		"radial":              {func(m *r) { m.Species[0].RadialPercent = proto.Float64(51) }, "species[0].radial_percent"},
		"tangential":          {func(m *r) { m.Species[0].TangentialPercent = proto.Float64(51) }, "species[0].tangential_percent"},
		"volumetric":          {func(m *r) { m.Species[0].VolumetricPercent = proto.Float64(-1) }, "species[0].volumetric_percent"},
		"C_R":                 {func(m *r) { m.Species[0].RadialCoefficient = proto.Float64(0.03) }, "species[0].radial_coefficient"},
		"C_T":                 {func(m *r) { m.Species[0].TangentialCoefficient = proto.Float64(0.03) }, "species[0].tangential_coefficient"},
		"many species":        {func(m *r) { m.Species = make([]*ripwrightv1.SpeciesShrinkage, 201); m.Packs[1].Species = "sweetgum" }, "species"},
		"run's pack":          {func(m *r) { m.Lumber[0].PackId = "P9" }, "lumber[0].pack_id"},
		"run without pack":    {func(m *r) { m.Lumber[0].PackId = "" }, "lumber[0].pack_id"},
		"run's boards":        {func(m *r) { m.Lumber[0].Boards = -1 }, "lumber[0].boards"},
		"run's face":          {func(m *r) { m.Lumber[0].FaceM2 = 9001 }, "lumber[0].face_m2"},
		"run's length":        {func(m *r) { m.Lumber[0].LengthM = proto.Float64(-1) }, "lumber[0].length_m"},
		"run too wide":        {func(m *r) { m.Lumber[0].LengthM = proto.Float64(0.3) }, "lumber[0].length_m"},
		"run's board feet":    {func(m *r) { m.Lumber[0].BoardFeet = proto.Float64(-1) }, "lumber[0].board_feet"},
		"many runs":           {func(m *r) { m.Lumber = make([]*ripwrightv1.PackLumber, 10_001) }, "lumber"},
		"past supplier":       {func(m *r) { m.PastPacks[0].Supplier = long }, "past_packs[0].supplier"},
		"past tally":          {func(m *r) { m.PastPacks[0].TalliedBoardFeet = 0 }, "past_packs[0].tallied_board_feet"},
		"past tally too less": {func(m *r) { m.PastPacks[0].TalliedBoardFeet = 1e-9 }, "past_packs[0].tallied_board_feet"},
		"past measure":        {func(m *r) { m.PastPacks[0].MeasuredBoardFeet = -1 }, "past_packs[0].measured_board_feet"},
		"many past packs":     {func(m *r) { m.PastPacks = make([]*ripwrightv1.PastPack, 10_001) }, "past_packs"},
		"from":                {func(m *r) { m.Moisture.FromPercent = proto.Float64(-1) }, "moisture.from_percent"},
		"to":                  {func(m *r) { m.Moisture.ToPercent = proto.Float64(251) }, "moisture.to_percent"},
	} {
		m := request(t)
		c.spoil(m)
		j, err := read(m)
		var l fault.List
		if !errors.As(err, &l) || len(l) != 1 || l[0].Path != c.path {
			t.Errorf("%s: %v; want one fault at %s (%v)", name, err, c.path, j != nil)
		}
	}
}

// Bounds on entries hold for all packs together, before anything is read.
func TestTooManyEntries(t *testing.T) {
	m := request(t)
	m.Packs[0].Boards = make([]*ripwrightv1.TallyBoard, 20_000)
	m.Packs[1].Boards = m.Packs[0].Boards
	m.Packs[2].Boards = make([]*ripwrightv1.TallyBoard, 10_000)
	var l fault.List
	if _, err := read(m); !errors.As(err, &l) || len(l) != 1 || l[0].Path != "packs" {
		t.Errorf("%v", err)
	}
	m = request(t)
	m.Packs[0].Boards = make([]*ripwrightv1.TallyBoard, 20_001)
	if _, err := read(m); !errors.As(err, &l) || l[0].Path != "packs[0].boards" {
		t.Errorf("%v", err)
	}
}
