package command

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
)

// What a service recorded is planned again unchanged, and for another saw with the
// resulting changes; with an unreachable service nothing is compared.
func TestReplay(t *testing.T) {
	b := openRecording(t)
	b.run(t, 0, about("solve")...)
	b.stop()
	text, err := os.ReadFile(b.record)
	if err != nil {
		t.Fatal(err)
	}
	again := open(t)
	again.write(t, "record.jsonl", string(text))
	out, _ := again.run(t, 0, "replay", "MILL/record.jsonl")
	for _, want := range []string{"12 boards replayed, 12 with the plan that was recorded, 0 refused", "worth", "131.33", "+0.00", "AC-2301, stile", "cycle times"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	// A saw of two blades can make at most one strip per board, and does not take some
	// boards.
	again.write(t, "two.yaml", `- name: two
  kerf: 3.4mm
  step: 0.1mm
  min_gap: 30mm
  min_strip_width: 25mm
  fence: {min: 40mm, max: 290mm}
  blades: [{fixed: 60mm}, {moving: {min: 100mm, max: 400mm}}]
  limits: {max_length: 4m}
`)
	out, _ = again.run(t, 0, "replay", "MILL/record.jsonl", "--saw-file", "MILL/two.yaml", "--json")
	var got struct {
		Boards      int
		Comparisons []struct {
			What               string
			Recorded, Replayed float64
		}
		Refused map[string]string
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if got.Boards != 10 || len(got.Refused) != 2 || got.Refused["AC-001"] == "" || got.Comparisons[0].Replayed >= got.Comparisons[0].Recorded {
		t.Errorf("%+v", got)
	}
	strips := 0.0
	for _, c := range got.Comparisons {
		if c.What == "strips" {
			strips += c.Replayed
		}
	}
	if strips != 10 {
		t.Errorf("%g strips of 10 boards", strips)
	}
	rows, _ := again.run(t, 0, "replay", "MILL/record.jsonl", "--order", "MILL/order.yaml", "--csv", "--units", "in")
	if got := column(t, rows, "what"); got[0] != "worth" || number(t, column(t, rows, "recorded")[0]) != number(t, column(t, rows, "replayed")[0]) {
		t.Errorf("the same order from the start makes something else:\n%s", rows)
	}
	_, errs := again.run(t, statusServer, "replay", "MILL/record.jsonl", "--server", "127.0.0.1:1", "--wait", "0s")
	if !strings.Contains(errs, "nothing answers") {
		t.Error(errs)
	}
}
