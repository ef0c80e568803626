package tallycsv

import (
	"bytes"
	"encoding/csv"
	"os"
	"regexp"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// What cannot be written as a table is refused.
func TestWriteRefuses(t *testing.T) {
	board := func(b *ripwrightv1.TallyBoard) *ripwrightv1.Pack {
		return &ripwrightv1.Pack{PackId: "p", Species: "white ash", NominalThicknessIn: 1, Boards: []*ripwrightv1.TallyBoard{b}}
	}
	scan := board(&ripwrightv1.TallyBoard{Size: &ripwrightv1.TallyBoard_Profile{Profile: &ripwrightv1.Board{}}})
	inch := board(&ripwrightv1.TallyBoard{Size: &ripwrightv1.TallyBoard_Inches{Inches: &ripwrightv1.InchSize{WidthIn: 6, LengthFt: 8}}})
	mm := board(&ripwrightv1.TallyBoard{Size: &ripwrightv1.TallyBoard_Metric{Metric: &ripwrightv1.MetricSize{WidthMm: 150, LengthMm: 2400}}})
	for name, packs := range map[string][]*ripwrightv1.Pack{"a scan": {scan}, "mixed units": {inch, mm}} {
		if err := Write(&bytes.Buffer{}, packs); err == nil {
			t.Errorf("%s is written", name)
		}
	}
}

// In written tables every row has as many cells as there are names, and texts that look
// like formulas are guarded.
func TestTables(t *testing.T) {
	m := &ripwrightv1.TallyPackResponse{
		Rule: ripwrightv1.TallyRule_TALLY_RULE_END_TALLY, Basis: ripwrightv1.TallyBasis_TALLY_BASIS_GROSS,
		Packs: []*ripwrightv1.PackAccount{
			{PackId: "=1+1", MeasuredBoardFeet: proto.Float64(93), Comparison: &ripwrightv1.TallyComparison{Verdict: ripwrightv1.TallyVerdict_TALLY_VERDICT_LACKS},
				Findings: []*ripwrightv1.BoardFinding{{Index: 4, BoardId: "b5", Kind: ripwrightv1.FindingKind_FINDING_KIND_NARROW, MeasuredMm: 99.5, MinMm: 100}},
				Left:     &ripwrightv1.LeftInPack{BoardFeet: 12.5, Boards: proto.Int32(3)},
				Figures: []*ripwrightv1.TallyFigure{{Rule: ripwrightv1.TallyRule_TALLY_RULE_END_TALLY, GrossBoardFeet: 100, NetBoardFeet: 93},
					{Rule: ripwrightv1.TallyRule_TALLY_RULE_METRIC_VOLUME, CubicMetres: 0.25}}},
			{PackId: "P2"},
		},
		Groups: []*ripwrightv1.TallyGroup{{Species: proto.String("white ash"), Packs: 2}}, All: &ripwrightv1.TallyGroup{Packs: 2},
		Suppliers: []*ripwrightv1.SupplierAccuracy{{Supplier: "Fenmoor", Packs: 1, MeanPercent: -1.5}},
	}
	read := func(f func(*bytes.Buffer) error) []map[string]string {
		var w bytes.Buffer
		if err := f(&w); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&w).ReadAll() // it requires rows of equal length
		if err != nil {
			t.Fatal(err)
		}
		var out []map[string]string
		for _, r := range rows[1:] {
			cells := map[string]string{}
			for i, n := range rows[0] {
				cells[n] = r[i]
			}
			out = append(out, cells)
		}
		return out
	}
	check := func(what string, row map[string]string, want map[string]string) {
		for k, v := range want {
			if got, ok := row[k]; !ok || got != v {
				t.Errorf("%s: %s is %q, want %q", what, k, got, v)
			}
		}
	}
	a := read(func(w *bytes.Buffer) error { return WriteAccounts(w, m) })
	check("account", a[0], map[string]string{"pack_id": "'=1+1", "rule": "end tally", "basis": "gross", "measured_bf": "93", "tallied_bf": "",
		"verdict": "lacks", "narrow": "1", "short": "0", "left_boards": "3", "left_bf": "12.5", "end_tally_bf": "100",
		"surface_measure_bf": "", "metric_volume_m3": "0.25"})
	check("bare account", a[1], map[string]string{"pack_id": "P2", "verdict": "", "left_bf": "", "metric_volume_m3": ""})
	g := read(func(w *bytes.Buffer) error { return WriteGroups(w, m) })
	check("group", g[0], map[string]string{"species": "white ash", "packs": "2"})
	check("all", g[1], map[string]string{"species": "all", "packs": "2", "nominal_thickness_in": ""})
	s := read(func(w *bytes.Buffer) error { return WriteSuppliers(w, m) })
	check("supplier", s[0], map[string]string{"supplier": "Fenmoor", "mean_percent": "-1.5", "sd_percent": "", "mean_lower_percent": ""})
	f := read(func(w *bytes.Buffer) error { return WriteFindings(w, m) })
	check("finding", f[0], map[string]string{"entry": "5", "board_id": "b5", "finding": "narrow", "measured_mm": "99.5"})
}

// guide is the guide to tallies.
func guide(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../tally.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The file in the guide is the same pack as the JSON there.
func TestGuidesFile(t *testing.T) {
	section := guide(t)
	blocks := regexp.MustCompile("(?s)```(json|csv)\n(.*?)```").FindAllStringSubmatch(section, -1)
	if len(blocks) != 3 || blocks[2][1] != "csv" {
		t.Fatalf("%d blocks", len(blocks))
	}
	var request ripwrightv1.TallyPackRequest
	if err := protojson.Unmarshal([]byte(blocks[0][2]), &request); err != nil {
		t.Fatal(err)
	}
	want := request.GetPacks()[0]
	want.MinWidthMm = nil // the file has no such column
	if s := mustRead(t, blocks[2][2]); len(s.Packs) != 1 || !proto.Equal(s.Packs[0], want) {
		t.Errorf("%v, want %v", s.Packs, want)
	}
}

// The package comment and the guide name every column that is read, and the guide every
// one that is written.
func TestColumnsAreDocumented(t *testing.T) {
	doc, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	section := guide(t)
	has := func(text, name string) bool { return regexp.MustCompile(`\b` + name + `\b`).MatchString(text) }
	for _, name := range Columns() {
		if !has(string(doc), name) || !has(section, name) {
			t.Errorf("%s is not documented in both places", name)
		}
	}
	for _, list := range [][]string{AccountColumns, GroupColumns, SupplierColumns, FindingColumns} {
		for _, name := range list {
			if !has(section, name) {
				t.Errorf("the guide does not say what %s is", name)
			}
		}
	}
}
