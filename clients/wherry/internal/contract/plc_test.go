package contract

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// The example for the PLC declares words of the contract with their types, all that are
// required, and assigns only the PLC's own; a number is assigned after what it numbers.
func TestStructuredText(t *testing.T) {
	text, err := os.ReadFile("../../plc.st")
	if err != nil {
		t.Fatal(err)
	}
	code := regexp.MustCompile(`(?s)\(\*.*?\*\)`).ReplaceAllString(string(text), "")
	globals, program, ok := strings.Cut(code, "PROGRAM HandOver")
	if !ok {
		t.Fatal("no program")
	}
	types := map[Kind]string{Number: `UDINT`, Numbers: `ARRAY\[0\.\.\d+\] OF UDINT`, Real: `REAL`, Reals: `ARRAY\[0\.\.\d+\] OF REAL`, Text: `STRING\[\d+\]`}
	for _, w := range Words {
		declared := regexp.MustCompile(`(?m)^\s*` + w.Name + `\s*:\s*(.*?);`).FindStringSubmatch(globals)
		if declared == nil {
			if !w.Optional {
				t.Errorf("%s is not declared", w.Name)
			}
			continue
		}
		if !regexp.MustCompile(`^` + types[w.Kind] + `$`).MatchString(declared[1]) {
			t.Errorf("%s is declared as %s; it is a %s", w.Name, declared[1], w.Kind)
		}
		assigned := regexp.MustCompile(`(?m)(^|[^.\w])` + w.Name + `(\[\w+\])? := `).MatchString(program)
		if assigned == w.Ours {
			t.Errorf("%s: assigned is %t, written by wherry is %t", w.Name, assigned, w.Ours)
		}
	}
	for _, order := range [][2]string{{"far :=", "scan_number := number"}, {"refused_reason :=", "refused_number :="}, {"result_outcome[slot] :=", "results := results + 1"}} {
		if a, b := strings.Index(program, order[0]), strings.Index(program, order[1]); a < 0 || b < a {
			t.Errorf("%s must come after %s", order[1], order[0])
		}
	}
	// Names are case-insensitive, and some are reserved by the language (IEC 61131-3,
	// keywords and standard functions; the list is from memory).
	spelt := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^\s*(\w+(?:\s*,\s*\w+)*)\s*:\s*[A-Za-z]`).FindAllStringSubmatch(regexp.MustCompile(`(?s)STRUCT.*?END_STRUCT`).ReplaceAllString(code, ""), -1) {
		for _, name := range strings.Split(m[1], ",") {
			name = strings.TrimSpace(name)
			upper := strings.ToUpper(name)
			if was, ok := spelt[upper]; ok {
				t.Errorf("%s is declared a second time, as %s", name, was)
			}
			if spelt[upper] = name; regexp.MustCompile(`^(STEP|INITIAL_STEP|ACTION|TRANSITION|LEFT|RIGHT|MID|LEN|INSERT|DELETE|FIND|MIN|MAX|LIMIT|SEL|MUX|ABS|ON|AT|BY|TO|DO|OF|EN|ENO|PRIORITY|SINGLE|INTERVAL|TASK|WITH|RESOURCE)$`).MatchString(upper) {
				t.Errorf("%s is a keyword of the language", name)
			}
		}
	}
	// Blocks are closed.
	for open, end := range map[string]string{"IF": "END_IF", "CASE": "END_CASE", "FOR": "END_FOR", "VAR": "END_VAR", "STRUCT": "END_STRUCT"} {
		a := len(regexp.MustCompile(`\b`+open+`(_INPUT|_OUTPUT|_GLOBAL)?\b`).FindAllString(code, -1))
		b := len(regexp.MustCompile(`\b`+end+`\b`).FindAllString(code, -1))
		if a != b || a == 0 {
			t.Errorf("%d of %s, %d of %s", a, open, b, end)
		}
	}
}
