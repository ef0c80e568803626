package config

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
)

// The README's table has every setting as it is, and --help has them all.
func TestEverySettingIsDocumented(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var help bytes.Buffer
	if err := Help(&help); err != nil {
		t.Fatal(err)
	}
	standard := Default()
	rows := 0
	for _, s := range settings {
		row := fmt.Sprintf("| `%s` | %s | %s |\n", s.name, s.shown(&standard), s.about)
		if !strings.Contains(string(readme), row) {
			t.Errorf("the README lacks the row\n%s", row)
		}
		if !strings.Contains(help.String(), "  --"+s.name+" "+s.arg+" ") || !strings.Contains(help.String(), s.about) {
			t.Errorf("--help lacks %s", s.name)
		}
		rows++
	}
	_, table, _ := strings.Cut(string(readme), "| setting | default | meaning |\n")
	table, _, _ = strings.Cut(table, "\n\n")
	if n := strings.Count(table, "\n"); n != rows { // a line of dashes, then rows, the last without its end
		t.Errorf("the README's table has %d rows, want %d", n, rows)
	}
}
