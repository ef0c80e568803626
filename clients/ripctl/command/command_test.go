package command

import (
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/clients/files"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The answers as JSON: each order continues from where the board before left it, and so
// do fence and blades.
func TestSolveCarriesOn(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, about("solve", "--json", "--save-order", "MILL/made.json")...)
	var answers []*ripwrightv1.SolveBoardResponse
	for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
		a := &ripwrightv1.SolveBoardResponse{}
		if err := protojson.Unmarshal([]byte(line), a); err != nil {
			t.Fatal(err)
		}
		answers = append(answers, a)
	}
	if len(answers) != 12 {
		t.Fatalf("%d answers to 12 boards", len(answers))
	}
	made, moved := false, 0.0
	for i, a := range answers[1:] {
		before := answers[i]
		for k, f := range a.GetFills() {
			if !proto.Equal(f.GetMade(), before.GetFills()[k].GetMadeAfter()) {
				t.Errorf("board %s begins with %v of %s, after %v", a.GetBoardId(), f.GetMade(), f.GetItemId(), before.GetFills()[k].GetMadeAfter())
			}
			made = made || f.GetMade().GetLengthM() > 0
		}
		p, q := before.GetPlan(), a.GetPlan()
		travel := abs(p.GetSetting().GetFenceMm() - q.GetSetting().GetFenceMm())
		for k := range q.GetSetting().GetBladesMm() {
			travel += abs(p.GetSetting().GetBladesMm()[k] - q.GetSetting().GetBladesMm()[k])
		}
		if abs(travel-q.GetTravelMm()) > 1e-6 {
			t.Errorf("board %s travels %g, from where the saw stood it is %g", a.GetBoardId(), q.GetTravelMm(), travel)
		}
		moved += travel
	}
	if !made || moved == 0 {
		t.Error("nothing was made or moved, so nothing was tried")
	}
	// The saved order can be used to continue.
	f, err := files.Read("made.json", []byte(b.read(t, "made.json")), files.Order)
	if err != nil {
		t.Fatal(err)
	}
	saved := &ripwrightv1.CutOrder{}
	if err := f.Into(0, saved); err != nil {
		t.Fatal(err)
	}
	for k, fill := range answers[11].GetFills() {
		if !proto.Equal(saved.GetItems()[k].GetMade(), fill.GetMadeAfter()) {
			t.Errorf("saved %v of %s, want %v", saved.GetItems()[k].GetMade(), fill.GetItemId(), fill.GetMadeAfter())
		}
	}
}

func abs(v float64) float64 { return max(v, -v) }

// If the saw's hour has a price, plans take less of its time, and tables show it.
func TestPriceOfTheSaw(t *testing.T) {
	b := open(t)
	cycle := func(more ...string) (sum float64) {
		out, _ := b.run(t, 0, about("solve", append(more, "--json")...)...)
		for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
			a := &ripwrightv1.SolveBoardResponse{}
			if err := protojson.Unmarshal([]byte(line), a); err != nil {
				t.Fatal(err)
			}
			sum += a.GetCycle().GetTotalS()
		}
		return sum
	}
	if free, priced := cycle(), cycle("--saw-hour", "20000"); priced >= free {
		t.Errorf("%g s without a price, %g s with one", free, priced)
	}
	first, _, _ := strings.Cut(b.read(t, "boards.jsonl"), "\n")
	out, _ := b.pipe(t, 0, first, "solve", "--saw-hour", "90", "--saw-file", "MILL/saws.yaml", "--current-setting", "MILL/current.yaml", "--order", "MILL/order.yaml", "-")
	if !strings.Contains(out, "of saw time, which cost 0.44") { // 17.7 s at 90 an hour
		t.Error(out)
	}
}

// Tables in either system of units agree with the JSON.
func TestTables(t *testing.T) {
	b := open(t)
	first, _, _ := strings.Cut(b.read(t, "boards.jsonl"), "\n")
	for units, want := range map[string][]string{
		"mm": {"fence   115.7 mm", "blades  117.4 222.4 283.8 379.7 mm", "4.052 m", "drawer side  1-2     101.6 mm", "36.58 m", "6.05 board feet"},
		"in": {"fence   4.555 in", "13 ft 3-1/2 in", "drawer side  1-2     4 in", "120.0 lineal ft", "60.00 sq ft"},
	} {
		out, _ := b.pipe(t, 0, first, "solve", "--saw-file", "MILL/saws.yaml", "--current-setting", "MILL/current.yaml", "--order", "MILL/order.yaml", "-", "--units", units)
		for _, w := range want {
			if !strings.Contains(out, w) {
				t.Errorf("in %s it does not say %q:\n%s", units, w, out)
			}
		}
	}
	out, _ := b.run(t, 0, about("solve")...)
	if !strings.Contains(out, "AC-012") || !strings.Contains(out, "12 boards, ") || !strings.Contains(out, "still open") {
		t.Errorf("the pack: %s", out)
	}
}

func TestCSV(t *testing.T) {
	b := open(t)
	for _, args := range [][]string{about("solve", "--csv"), about("check", "--csv", "--board", "AC-001", "--setting", "MILL/setting.yaml"),
		{"saws", "--csv", "MILL/saws.yaml"}} {
		out, _ := b.run(t, 0, args...)
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if err != nil || len(rows) < 5 {
			t.Errorf("%q: %d rows, %v", args, len(rows), err)
		}
	}
}

func TestCheck(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, about("check", "--board", "AC-001", "--setting", "MILL/setting.yaml")...)
	if !strings.Contains(out, "The best plan is worth 5.01 more than the setting, 54.1 % of its worth.") {
		t.Error(out)
	}
	// The same setting on the command line gives the same result.
	again, _ := b.run(t, 0, about("check", "--board", "AC-001", "--fence", "145.6mm", "--blades", "149mm,222.4mm,283.8mm,379.7mm")...)
	if again != out {
		t.Errorf("from flags\n%s\nfrom the file\n%s", again, out)
	}
	out, errs := b.run(t, statusBroken, about("check", "--board", "AC-001", "--fence", "100.05mm", "--blades", "1in,222.4mm,283.8mm,379.7mm")...)
	if !strings.Contains(out, "Breaks a rule: --blades, blade 1: is 25.4; the travel is 40 to 190") || !strings.Contains(errs, "2 rules") {
		t.Error(out, errs)
	}
}

// A day's settings are scored one after another: what each makes counts before the next,
// and a broken rule is reported without stopping the rest.
func TestCompare(t *testing.T) {
	b := open(t)
	day := about("check", "--settings", "MILL/settings.yaml")
	out, _ := b.run(t, 0, append(day, "--json")...)
	worth, best, drawer := 0.0, 0.0, 0.0
	lines := strings.Split(strings.TrimSpace(out), "\n")
	for _, line := range lines {
		a := &ripwrightv1.CheckPlanResponse{}
		if err := protojson.Unmarshal([]byte(line), a); err != nil {
			t.Fatal(err)
		}
		worth, best = worth+a.GetPlan().GetWorth(), best+a.GetOptimum().GetWorth()
		if f := a.GetFills()[2]; f.GetItemId() != "drawer side" || f.GetMade().GetLengthM() != drawer {
			t.Errorf("board %s begins with %v, after %g m", a.GetBoardId(), f, drawer)
		}
		drawer = a.GetFills()[2].GetMadeAfter().GetLengthM()
	}
	if len(lines) != 7 || drawer == 0 || best <= worth {
		t.Errorf("%d settings, worth %g, the best plans %g", len(lines), worth, best)
	}
	rows, _ := b.run(t, 0, append(day, "--csv")...)
	sum := 0.0
	for _, v := range column(t, rows, "worth") {
		sum += number(t, v)
	}
	if abs(sum-worth) > 1e-9 {
		t.Errorf("worth %g as CSV, %g as JSON", sum, worth)
	}
	text, _ := b.run(t, 0, day...)
	if !strings.Contains(text, fmt.Sprintf("7 boards: the settings are worth %.2f", worth)) || !strings.Contains(text, "kept") {
		t.Error(text)
	}
	b.write(t, "broken.yaml", strings.Replace(b.read(t, "settings.yaml"), "blades: [113.9mm,", "blades: [230mm,", 1))
	text, errs := b.run(t, statusBroken, about("check", "--settings", "MILL/broken.yaml")...)
	if !strings.Contains(text, "AC-007") || !strings.Contains(text, "Breaks a rule: board AC-002: ") || !strings.Contains(text, "broken.yaml:5: blades_mm[0] is 230") ||
		!strings.Contains(errs, "1 setting of 7 break rules") {
		t.Error(text, errs)
	}
	for text, says := range map[string]string{
		"- {board_id: x, fence: 1in, blades: [1in]}": `s.yaml:1: board_id is "x", the name of 0 boards; it must name exactly one board`,
		"- {fence: 1in, blades: [1in]}":              `s.yaml:1: board_id is "", the name of 0 boards; it must name exactly one board`,
		"- {board_id: AC-001, fence: 1in, blades: [1in]}\n- {board_id: AC-001, fence: 1in, blades: [1in]}": "s.yaml:2: board_id is \"AC-001\", which already has a setting above",
		"- {board_id: AC-001, fence: 1in, blades: [1in]}":                                                  "s.yaml:1: blades_mm has 1 entries",
	} {
		b.write(t, "s.yaml", text)
		if _, errs := b.run(t, statusInput, about("check", "--settings", "MILL/s.yaml", "--csv")...); !strings.Contains(errs, says) {
			t.Errorf("%s\nsays %q, want %q", text, errs, says)
		}
	}
	b.run(t, statusUsage, append(day, "--board", "AC-001")...)
}

func TestDraw(t *testing.T) {
	b := open(t)
	to, _ := b.run(t, 0, about("draw", "--board", "AC-002", "-o", "MILL/a.svg", "--units", "in")...)
	out, _ := b.run(t, 0, about("draw", "--board", "AC-002", "--units", "in")...)
	if text := b.read(t, "a.svg"); text != out || !strings.Contains(to, "a.svg: board AC-002") || !strings.Contains(out, " sq ft") {
		t.Errorf("%s\n%.300s", to, out)
	}
	b.run(t, statusBroken, about("draw", "--board", "AC-001", "--fence", "100.05mm", "--blades", "40mm,222.4mm,283.8mm,379.7mm", "-o", "MILL/b.svg")...)
	for _, name := range []string{"a.svg", "b.svg"} {
		for d := xml.NewDecoder(strings.NewReader(b.read(t, name))); ; {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatal(name, err)
			}
		}
	}
}

// A listing of saws has everything that was written, to the last digit, in either system
// of units.
func TestSawsAsWritten(t *testing.T) {
	b := open(t)
	b.write(t, "own.yaml", "- {name: own, kerf: 1/8 in, step_mm: 0.05, fence: {min: 0mm, max: 30in}, blades: [{fixed_mm: 222.4375}, {fixed: 12-3/64in}], edge_trim_mm: 3.123456, feed: 65 ft/min, positioning: 12 in/s, handling_s: 4.25, blades_changed: today}\n")
	for units, want := range map[string][]string{
		"mm": {"kerf 3.175 mm, step 0.05 mm", "0 mm to 762 mm", "fixed at 222.4375 mm", "fixed at 305.990625 mm", "3.123456 mm", "19.812 m/min", "304.8 mm/s", "4.25 s", "blades changed", "today"},
		"in": {"kerf 1/8 in", "0 in to 30 in", "fixed at 12-3/64 in", "fixed at 8.75738189 in", "65 ft/min", "12 in/s", "4.25 s"},
	} {
		out, _ := b.run(t, 0, "saws", "MILL/own.yaml", "--units", units)
		for _, w := range want {
			if !strings.Contains(out, w) {
				t.Errorf("no %q in\n%s", w, out)
			}
		}
	}
}

// Small commands that need no service.
func TestOthers(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, "saws", "MILL/saws.yaml", "--units", "in")
	if !strings.Contains(out, "fixed at 11.17322835 in") || !strings.Contains(out, "8.75590551 in") {
		t.Error(out)
	}
	for _, k := range files.Kinds {
		out, _ = b.run(t, 0, "schema", k.Name)
		if !json.Valid([]byte(out)) {
			t.Errorf("schema %s: %s", k.Name, out)
		}
	}
	out, _ = b.run(t, 0, "version", "--json")
	if !json.Valid([]byte(out)) {
		t.Error(out)
	}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		if out, _ = b.run(t, 0, "completion", shell); !strings.Contains(out, "ripctl") {
			t.Errorf("%s: %.100s", shell, out)
		}
	}
	// Existing files are left alone.
	b.write(t, "order.yaml", "order_id: mine\n")
	out, _ = b.run(t, 0, "demo", "MILL")
	if b.read(t, "order.yaml") != "order_id: mine\n" || !strings.Contains(out, "order.yaml already exists") {
		t.Error(out)
	}
}

// The parts of a difference add up to it, and the search ends where bound and plan meet.
func TestExplain(t *testing.T) {
	b := open(t)
	args := about("explain", "--board", "AC-001", "--setting", "MILL/setting.yaml")
	out, _ := b.run(t, 0, args...)
	for _, says := range []string{"drawer side", "together", "5.01", "measuring the board", "no plan is worth more"} {
		if !strings.Contains(out, says) {
			t.Errorf("%q is not in\n%s", says, out)
		}
	}
	t.Log(out)
	out, _ = b.run(t, 0, append(args, "--json")...)
	a := &ripwrightv1.CheckPlanResponse{}
	if err := protojson.Unmarshal([]byte(out), a); err != nil {
		t.Fatal(err)
	}
	e := a.GetExplanation()
	sum := e.GetOffcutsFedAgain() + e.GetSawTime()
	for _, d := range e.GetItems() {
		sum += d.GetDifference()
	}
	if math.Abs(sum-a.GetDistance()) > 1e-9 {
		t.Errorf("differences add up to %v, and the distance is %v: %v", sum, a.GetDistance(), e)
	}
	work, last := 0.0, e.GetSearch()[len(e.GetSearch())-1]
	for _, p := range e.GetSearch() {
		work += p.GetWork()
	}
	if last.GetBound() != last.GetBest() || last.GetBest() != a.GetOptimum().GetWorth() || work > a.GetProof().GetWork() || work == 0 {
		t.Errorf("%v steps: %v, and the proof %v", work, e.GetSearch(), a.GetProof())
	}
}
