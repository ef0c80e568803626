package handover

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// The guide's table of states agrees with the machine.
func TestGuide(t *testing.T) {
	guide, err := os.ReadFile("../../../bridging.md")
	if err != nil {
		t.Fatal(err)
	}
	same := Seen{Boot: 1, Scan: 7}
	sees := map[string]Seen{"no number": {Boot: 1}, "a number": same, "the same number": same, "a plan from the service": same, "another number": {Boot: 1, Scan: 8},
		"accepted": {Boot: 1, Scan: 7, Accepted: 7}, "refused": {Boot: 1, Scan: 7, Refused: 7, Reason: 4}, "another boot, the same number": {Boot: 2, Scan: 7}}
	does := map[string]string{"nothing": "", "reads the board, asks": "fetch", "counts the board as not cut by a plan, reads the next": "leave, fetch",
		"writes the plan, looks again, writes its number": "hand", "counts the board as not cut by a plan": "leave", "notes it": "taken", "notes which check failed": "turned",
		"nothing: the board waits for its result": "", "notes it, reads the board, asks": "restarted, fetch"}
	rows := regexp.MustCompile(`(?m)^\| (idle|asking|answered|told) \| (.*?) \| (.*?) \| (\w+) \|$`).FindAllStringSubmatch(string(guide), -1)
	if len(rows) != 11 {
		t.Fatalf("the guide has %d rows of states, want 11", len(rows))
	}
	number := regexp.MustCompile(` (after boot )?\d+( by \d+)?`)
	for _, r := range rows {
		m := Machine{Slots: 16}
		m.Look(Seen{Boot: 1})
		for m.state.String() != r[1] {
			m.Answer(m.board, Answer{})
			m.Look(same)
			if m.state == Asking && r[1] == "answered" {
				m.Answer(m.board, Answer{})
			}
		}
		see, ok := sees[r[2]]
		want, known := does[r[3]]
		if !ok || !known {
			t.Fatalf("unknown row: %q, %q", r[2], r[3])
		}
		var got string
		if r[2] == "a plan from the service" {
			m.Answer(m.board, Answer{})
		} else {
			got = number.ReplaceAllString(text(m.Look(see)), "")
		}
		if got != want || m.state.String() != r[4] {
			t.Errorf("%s sees %s: %q and %s; the guide says %q and %s", r[1], r[2], got, m.state, want, r[4])
		}
	}
	if !strings.Contains(string(guide), "](handover.svg)") {
		t.Error("the guide does not show the figure")
	}
}
