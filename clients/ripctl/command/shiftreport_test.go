package command

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The shift report agrees with the summary, by the plans' own times and the stops of the
// file; a stop before an unknown board is reported by file and line.
func TestShiftReport(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, about("line", "--confirmations", "MILL/confirmations.yaml", "--stops", "MILL/stops.yaml", "--shift-report", b.dir+"/shift.html")...)
	for _, w := range []string{"ran 3 min, stopped 17 min; 34 boards an hour, 238 an hour running", `Stopped for "outfeed full" 1 time, 4 min`, "shift.html: shift report"} {
		if !strings.Contains(out, w) {
			t.Errorf("no %q in\n%s", w, out)
		}
	}
	page := b.read(t, "shift.html")
	for _, w := range []string{"<b>11</b>boards cut", "<b>34</b>boards an hour", "<b>81.1 %</b>yield", "width:14.4%", "blade 3 changed", "13 min", "drawer side", "alder-17", "1 not cut"} {
		if !strings.Contains(page, w) {
			t.Errorf("no %q on the page", w)
		}
	}
	s := lastSummary(t, b, "--stops", "MILL/stops.yaml")
	// Stops of 4 and 12.5 minutes; the running time is that of the plans of 12 boards.
	if got := s.GetTimes(); got.GetStandingS() != 990 || got.GetBoardsCut() != 12 || got.GetRunningS() < s.GetCycleS()-1e-3 || got.GetRunningS() > s.GetCycleS()+1e-3 {
		t.Errorf("%v, cycle %g", got, s.GetCycleS())
	}
	if s := lastSummary(t, b, "--run", "without"); s.GetTimes() != nil || len(s.GetStops()) > 0 {
		t.Errorf("%v", s)
	}
	b.write(t, "wrong.yaml", "- {board_id: AC-099, reason: x, duration: 1min}\n")
	if _, errs := b.run(t, statusInput, about("line", "--stops", "MILL/wrong.yaml")...); !strings.Contains(errs, "wrong.yaml:1: board_id is \"AC-099\"; no board has that name") {
		t.Error(errs)
	}
}

// The settings of the drift watch are flags, and errors in them are reported by flag.
func TestDriftFlags(t *testing.T) {
	b := open(t)
	if _, errs := b.run(t, statusInput, about("line", "--drift-shift-mm", "11")...); !strings.Contains(errs, "--drift-shift-mm is 11") {
		t.Error(errs)
	}
	if _, errs := b.run(t, statusInput, about("line", "--drift-scatter-mm", "-1")...); !strings.Contains(errs, "--drift-scatter-mm is -1") {
		t.Error(errs)
	}
	b.run(t, 0, about("line", "--drift-shift-mm", "0.5", "--drift-scatter-mm", "0.1")...)
}

// The fullest page has no more lines than fit a sheet, and names cannot inject markup.
// RIPWRIGHT_PICTURES=folder writes it for inspection.
func TestFullestShiftReport(t *testing.T) {
	long := strings.Repeat("W", 100)
	s := &ripwrightv1.RunSummary{RunId: long, Refused: 300,
		Account: &ripwrightv1.Account{FaceM2: 9123.456, StripM2: 7000, EdgingM2: 1500, KerfM2: 623.456, YieldRatio: proto.Float64(0.767), BoardFeet: proto.Float64(98765.4)},
		Times:   &ripwrightv1.LineTimes{RunningS: 25000, StandingS: 3800, BoardsPerHour: proto.Float64(481.3), BoardsPerRunningHour: proto.Float64(554.4)}}
	for o := range ripwrightv1.CutOutcome_name {
		if o > 0 {
			s.Outcomes = append(s.Outcomes, &ripwrightv1.OutcomeCount{Outcome: ripwrightv1.CutOutcome(o), Boards: 1000 * o})
		}
	}
	o := &ripwrightv1.CutOrder{OrderId: "<script>alert(1)</script>"}
	var fills []*ripwrightv1.Fill
	amount := &ripwrightv1.Amount{Amount: &ripwrightv1.Amount_AreaM2{AreaM2: 123456.789}}
	r := &lineReport{t: &tool{units: "mm"}}
	for i := range 50 {
		id := fmt.Sprintf("%d %s", i, long)
		o.Items = append(o.Items, &ripwrightv1.Item{ItemId: id, Width: &ripwrightv1.Item_Range{Range: &ripwrightv1.WidthRange{MinMm: 44.45, MaxMm: 107.95}}})
		fills = append(fills, &ripwrightv1.Fill{ItemId: id, Required: amount, Open: amount})
		s.Items = append(s.Items, &ripwrightv1.ItemTotal{OrderId: o.GetOrderId(), ItemId: id, Stack: long, Strips: 9999, LengthM: 98765.432, AreaM2: 9876.543})
		s.Stops = append(s.Stops, &ripwrightv1.StopTotal{Reason: id, Stops: 99, StandingS: proto.Float64(76)})
		s.Packs = append(s.Packs, &ripwrightv1.PackTotal{PackId: id, Boards: 999, FaceM2: 999.999, BoardFeet: proto.Float64(9999.9)})
		r.doubted = append(r.doubted, id+" (off item width) strips[0].width_mm "+strings.Repeat("is off; ", 30))
	}
	var page bytes.Buffer
	if err := shiftTemplate.Execute(&page, r.shift(s, fills, o, long)); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(page.String(), "<tr>"); n > 6+mostItems+mostStops+mostPacks+mostNotes+6 || !strings.Contains(page.String(), "and 40 more items") {
		t.Errorf("%d lines", n)
	}
	if strings.Contains(page.String(), "<script") || strings.Contains(page.String(), "ZgotmplZ") {
		t.Error("what a name holds becomes part of the page")
	}
	if dir := os.Getenv("RIPWRIGHT_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, "shift.html"), page.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
