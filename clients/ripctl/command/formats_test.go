package command

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"
)

// every is each command that shows an answer, with its arguments.
func every() map[string][]string {
	return map[string][]string{
		"solve": about("solve"), "line": about("line"),
		"check":    about("check", "--board", "AC-001", "--setting", "MILL/setting.yaml"),
		"explain":  about("explain", "--board", "AC-001", "--setting", "MILL/setting.yaml"),
		"settings": about("check", "--settings", "MILL/settings.yaml"),
		"quote":    on("quote", "--simulations", "3"), "values": on("values"),
		"arbor":    {"arbor", "--saw-file", "MILL/saws.yaml", "--lumber", "MILL/stock.yaml", "MILL/arbors.yaml"},
		"sequence": {"sequence", "MILL/day.yaml"},
		"share":    {"share", "MILL/lines.yaml"},
		"replay":   {"replay", "MILL/record.jsonl"},
		"tally":    {"tally", "MILL/packs.csv"},
		"saws":     {"saws", "MILL/saws.yaml"},
	}
}

// Every command shows its answer as a table in either system of units, as JSON with one
// object per line, and as CSV with a name for every column and a cell in each; repeated,
// it prints the same.
func TestFormats(t *testing.T) {
	recording := openRecording(t)
	recording.run(t, 0, about("solve")...)
	recording.stop()
	b := small(t)
	b.write(t, "record.jsonl", read(t, recording.record))
	b.write(t, "packs.csv", pack)
	for name, args := range every() {
		metric, _ := b.run(t, 0, args...)
		inches, _ := b.run(t, 0, append(args, "--units", "in")...)
		if len(strings.Split(metric, "\n")) < 3 || strings.Contains(metric, "\t") || strings.Contains(metric, "%!") {
			t.Errorf("%s writes\n%s", name, metric)
		}
		// Output without lengths is the same in both.
		if same := name == "tally" || name == "settings"; (metric == inches) != same {
			t.Errorf("%s writes in mm\n%s\nand in inches\n%s", name, metric, inches)
		}
		out, _ := b.run(t, 0, append(args, "--json")...)
		for _, line := range strings.Split(strings.TrimSuffix(out, "\n"), "\n") {
			var v map[string]any
			if err := json.Unmarshal([]byte(line), &v); err != nil || len(v) == 0 {
				t.Errorf("%s writes as JSON %s: %v", name, line, err)
			}
		}
		out, _ = b.run(t, 0, append(args, "--csv")...)
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll() // all rows are equally long
		if err != nil || len(rows) < 2 {
			t.Errorf("%s writes as CSV %d rows: %v", name, len(rows), err)
			continue
		}
		for _, head := range rows[0] {
			if head == "" || strings.ToLower(head) != head || strings.Contains(head, " ") {
				t.Errorf("%s has a column %q", name, head)
			}
		}
		again, _ := b.run(t, 0, append(args, "--csv")...)
		if out != again {
			t.Errorf("%s writes\n%s\nand then\n%s", name, out, again)
		}
	}
}

// An output that cannot be written to is an error, not a silent success.
func TestBrokenOutput(t *testing.T) {
	recording := openRecording(t)
	recording.run(t, 0, about("solve")...)
	recording.stop()
	b := small(t)
	b.write(t, "record.jsonl", read(t, recording.record))
	b.write(t, "packs.csv", pack)
	for name, args := range every() {
		for _, format := range []string{"--json", "--csv"} {
			all := []string{"--server", b.server, "--wait", "1m", format}
			for _, a := range args {
				all = append(all, strings.ReplaceAll(a, "MILL", b.dir))
			}
			var errs bytes.Buffer
			if got := Run(t.Context(), all, nil, full{}, &errs); got != statusFailed || !strings.Contains(errs.String(), "disk is full") {
				t.Errorf("%s %s ends with %d: %s", name, format, got, errs.String())
			}
		}
	}
}

// full is a full disk.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

var errFull = errors.New("the disk is full")

func read(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
