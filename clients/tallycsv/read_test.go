package tallycsv

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// good is a file in inches and feet with all kinds of rows; one in millimetres
// follows. The figures are invented.
const good = `pack_id,row,supplier,species,grade,nominal_thickness_in,price_per_mbf,tally_basis,scope,scant_mm,width_in,length_ft,thickness_in,pieces,surface_ft2,board_feet,board_id,consumed
P1,count,Fenmoor,white ash,FAS,4/4,2150,net,whole,1.5,6,8,,12,,,,
P1,count,,,,,,,,,7,10,,4,,,,
P1,board,,white ash,,,,,,,6 1/4,8.25,31/32,,,,b1,yes
P1,board,,,,,,,,,25/4,8,,3,,,'=b2,no

P2,total,Fenmoor,sweetgum,1C,5/4,,gross,consumed,,,,,,,1234.5,,
P3,surface,Tarn,white oak,,2,,,,,,,,40,9,,,
,,,,,,,,,,,,,,,,,
P3,surface,Tarn,white oak,,2,,,,,,,,7,10,,,
`

const metric = `row,pack_id,species,nominal_thickness_in,width_mm,length_mm
board,P1,black cherry,1,152.4,2438.4
`

func mustRead(t *testing.T, text string) *Sheet {
	t.Helper()
	s, err := Read(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return s
}

func TestRead(t *testing.T) {
	s := mustRead(t, "\uFEFF"+good) // as some spreadsheets save it
	if len(s.Packs) != 3 {
		t.Fatalf("%d packs", len(s.Packs))
	}
	p := s.Packs[0]
	if p.GetNominalThicknessIn() != 1 || p.GetPricePerMbf() != 2150 || p.GetGrade() != "FAS" || p.GetScantMm() != 1.5 ||
		p.GetScope() != ripwrightv1.TallyScope_TALLY_SCOPE_WHOLE_PACK || p.GetTally().GetBasis() != ripwrightv1.TallyBasis_TALLY_BASIS_NET {
		t.Errorf("%v", p)
	}
	l := p.GetTally().GetCounts().GetLines()
	if len(l) != 2 || l[1].GetInches().GetWidthIn() != 7 || l[1].GetPieces() != 4 {
		t.Errorf("%v", l)
	}
	b := p.GetBoards()
	if len(b) != 2 || b[0].GetInches().GetWidthIn() != 6.25 || b[0].GetInches().GetLengthFt() != 8.25 ||
		b[0].GetInches().GetThicknessIn() != 0.96875 || !b[0].GetConsumed() || b[0].Pieces != nil ||
		b[1].GetInches().GetWidthIn() != 6.25 || b[1].GetPieces() != 3 || b[1].GetBoardId() != "=b2" {
		t.Errorf("%v", b)
	}
	if got := s.Packs[1]; got.GetTally().GetBoardFeet() != 1234.5 || got.GetNominalThicknessIn() != 1.25 ||
		got.GetScope() != ripwrightv1.TallyScope_TALLY_SCOPE_CONSUMED_SO_FAR {
		t.Errorf("%v", got)
	}
	if got := s.Packs[2].GetTally().GetSurfaces().GetLines(); len(got) != 2 || got[1].GetSurfaceFt2() != 10 || got[1].GetPieces() != 7 {
		t.Errorf("%v", got)
	}
	if m := mustRead(t, metric).Packs[0].GetBoards()[0].GetMetric(); m.GetWidthMm() != 152.4 || m.GetLengthMm() != 2438.4 {
		t.Errorf("%v", m)
	}
}

func again(t *testing.T, s *Sheet) {
	t.Helper()
	var w bytes.Buffer
	if err := Write(&w, s.Packs); err != nil {
		t.Fatal(err)
	}
	back := mustRead(t, w.String())
	if len(back.Packs) != len(s.Packs) {
		t.Fatalf("%d packs, read %d\n%s", len(s.Packs), len(back.Packs), w.String())
	}
	for i, p := range s.Packs {
		if !proto.Equal(p, back.Packs[i]) {
			t.Fatalf("%v\nread %v\n%s", p, back.Packs[i], w.String())
		}
	}
}

func TestRoundTrip(t *testing.T) {
	again(t, mustRead(t, good))
	again(t, mustRead(t, metric))
}

// Every error is reported by its row and column, and nothing of the file is used.
func TestErrors(t *testing.T) {
	for name, c := range map[string]struct {
		from, to string
		row      int
		column   string
		says     string
	}{
		"negative length":     {"7,10,,4", "7,-10,,4", 3, "length_ft", "above 0"},
		"zero width":          {"25/4,8,", "0,8,", 5, "width_in", "above 0"},
		"blank width":         {"7,10,,4", ",10,,4", 3, "width_in", "blank"},
		"blank pieces":        {"7,10,,4", "7,10,,", 3, "pieces", "blank"},
		"blank species":       {"white ash,FAS", ",FAS", 2, "species", "blank"},
		"blank thickness":     {"FAS,4/4", "FAS,", 2, "nominal_thickness_in", "blank"},
		"blank pack":          {"P2,total", ",total", 7, "pack_id", "blank"},
		"blank kind":          {"P2,total", "P2,", 7, "row", "board, count"},
		"unknown kind":        {"P2,total", "P2,bundle", 7, "row", "board, count"},
		"a unit":              {"25/4,8,", "25/4,8 ft,", 5, "length_ft", "unit"},
		"millimetres":         {"25/4,8,", "159mm,8,", 5, "width_in", "unit"},
		"an inch mark":        {"25/4,8,", `"6""",8,`, 5, "width_in", "unit"},
		"decimal comma":       {"1234.5", `"1234,5"`, 7, "board_feet", "decimal point"},
		"words":               {"1234.5", "many", 7, "board_feet", "must be a number"},
		"not a number":        {"1234.5", "NaN", 7, "board_feet", "must be a number"},
		"over nothing":        {"25/4,8,", "25/0,8,", 5, "width_in", "fraction over 0"},
		"part of a piece":     {"7,10,,4", "7,10,,4.5", 3, "pieces", "whole"},
		"no pieces":           {"7,10,,4", "7,10,,0", 3, "pieces", "whole"},
		"thickness of a line": {"7,10,,4", "7,10,1,4", 3, "thickness_in", "blank in a count row"},
		"another species":     {"P1,board,,white ash", "P1,board,,white oak", 4, "species", "row 2"},
		"another tally":       {"P3,surface,Tarn,white oak,,2,,,,,,,,7,10,,", "P3,total,Tarn,white oak,,2,,,,,,,,,,5,", 10, "row", "different kind"},
		"basis":               {"2150,net", "2150,dry", 2, "tally_basis", "gross or net"},
		"scope":               {"net,whole", "net,all", 2, "scope", "whole or consumed"},
		"consumed":            {"b1,yes", "b1,gone", 4, "consumed", "yes or no"},
		"beyond the columns":  {"b1,yes", "b1,yes,,5", 4, "", "no name"},
		"unknown column":      {"surface_ft2", "surface_m2", 1, "surface_m2", "not a column"},
		"column twice":        {"surface_ft2", "pieces", 1, "pieces", "twice"},
		"no species column":   {"species", "", 1, "species", "missing"},
		"mixed units":         {"length_ft,thickness_in", "length_mm,thickness_in", 1, "length_mm", "all in inches"},
		"semicolons too":      {"pack_id,", "pack_id;", 1, "", "comma"},
		"a quote":             {"7,10,,4", `7"x,10,,4`, 3, "", "not CSV"},
		"line break":          {"b1,yes", "\"b\n1\",yes", 4, "board_id", "line break"},
		"not UTF-8":           {"b1,yes", "b\xff,yes", 4, "board_id", "UTF-8"},
		"empty":               {good, "", 1, "", "empty"},
		"names only":          {good, metric[:strings.Index(metric, "\n")], 1, "", "no rows"},
	} {
		s, err := Read(strings.NewReader(strings.Replace(good, c.from, c.to, 1)))
		var list Errors
		if s != nil || !errors.As(err, &list) || len(list) == 0 {
			t.Errorf("%s: %v", name, err)
			continue
		}
		found := false
		for _, e := range list {
			found = found || e.Row == c.row && e.Column == c.column && strings.Contains(e.Says, c.says)
		}
		if !found {
			t.Errorf("%s: %v; want row %d, column %q: ...%s", name, err, c.row, c.column, c.says)
		}
		if n := len(list); n != 1 && name != "semicolons too" && name != "unknown column" && name != "column twice" && name != "mixed units" && name != "beyond the columns" {
			t.Errorf("%s: %d errors for one mistake: %v", name, n, err)
		}
	}
}

// Spreadsheets in countries with a decimal comma write semicolons between cells, and
// copied cells are separated by tabs; a fraction may have a hyphen. All read the same.
func TestSeparators(t *testing.T) {
	want := mustRead(t, good)
	for _, text := range []string{strings.ReplaceAll(good, ",", ";"), strings.ReplaceAll(good, ",", "\t"), "\uFEFF" + strings.ReplaceAll(good, ",", ";"),
		strings.ReplaceAll(good, "6 1/4", "6-1/4")} {
		got := mustRead(t, text)
		if len(got.Packs) != len(want.Packs) {
			t.Fatalf("%d packs, not %d", len(got.Packs), len(want.Packs))
		}
		for i := range want.Packs {
			if !proto.Equal(got.Packs[i], want.Packs[i]) {
				t.Errorf("%v\nis not %v", got.Packs[i], want.Packs[i])
			}
		}
	}
	if v, err := number("-6-1/2"); err != nil || v != -6.5 {
		t.Errorf("%v %v", v, err)
	}
	for _, odd := range []string{"6--1/2", "6-1", "6 -1/2", "6-1/2-1/2"} {
		if v, err := number(odd); err == nil {
			t.Errorf("%q is %v", odd, v)
		}
	}
}

// A whole file in the wrong unit does not make an endless list.
func TestManyErrors(t *testing.T) {
	var list Errors
	_, err := Read(strings.NewReader(metric + strings.Repeat("board,P1,,,6 in,8 ft\n", 5000)))
	if !errors.As(err, &list) || len(list) < maxErrors || len(list) > maxErrors+2 || !strings.Contains(err.Error(), "perhaps more") {
		t.Errorf("%d errors", len(list))
	}
}

// The service names fields; their cells are found.
func TestLocate(t *testing.T) {
	s := mustRead(t, good)
	for path, want := range map[string]CellError{
		"packs[0].species":                             {2, "species", ""},
		"packs[0].boards[1].inches.width_in":           {5, "width_in", ""},
		"packs[0].boards[0].pieces":                    {4, "pieces", ""},
		"packs[0].tally.counts.lines[1].inches":        {3, "", ""},
		"packs[0].tally.basis":                         {2, "tally_basis", ""},
		"packs[1].tally.board_feet":                    {7, "board_feet", ""},
		"packs[2].tally.surfaces.lines[1].surface_ft2": {10, "surface_ft2", ""},
		"packs[2]": {8, "", ""},
	} {
		row, column, ok := s.Locate(path)
		if !ok || row != want.Row || column != want.Column {
			t.Errorf("%s: row %d, column %q, %v; want %v", path, row, column, ok, want)
		}
	}
	for _, path := range []string{"rule", "packs", "packs[3].species", "packs[0].boards[2].pieces", "lumber[0].pack_id", "packs[99999999999999999999]"} {
		if row, column, ok := s.Locate(path); ok {
			t.Errorf("%s: row %d, column %q", path, row, column)
		}
	}
	if err := s.Explain("packs[0].species", "is odd"); err.Error() != "row 2, column species: is odd" {
		t.Error(err)
	}
	if err := s.Explain("rule", "is odd"); err.Error() != "rule: is odd" {
		t.Error(err)
	}
}

// Whatever the bytes: no panic, and what is read is written and read back unchanged.
func FuzzRead(f *testing.F) {
	f.Add(good)
	f.Add(metric)
	f.Add("\uFEFF" + metric)
	f.Add(strings.ReplaceAll(good, "\n", "\r\n"))
	f.Add(strings.ReplaceAll(good, "P1", "'=P 1"))
	f.Add(strings.ReplaceAll(metric, "152.4", "6 7/8"))
	f.Fuzz(func(t *testing.T, text string) {
		s, err := Read(strings.NewReader(text))
		if err != nil {
			var list Errors
			if s != nil || !errors.As(err, &list) || len(list) == 0 || list[0].Row < 1 {
				t.Fatalf("%v", err)
			}
			return
		}
		again(t, s)
	})
}
