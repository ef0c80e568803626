package check

import (
	"os"
	"strings"
	"testing"
)

// The rules for an operator equal those that promtool tests.
func TestRulesOfTheOperator(t *testing.T) {
	const shipped, wrapped = "../prometheus/rules.yaml", "../kubernetes/components/operator/rules.yaml"
	plain, err := os.ReadFile(shipped)
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(wrapped)
	if err != nil {
		t.Fatal(err)
	}
	var want strings.Builder
	for _, line := range strings.SplitAfter(string(plain), "\n") {
		if line != "" && line != "\n" && !strings.HasPrefix(line, "#") {
			want.WriteString("  " + line)
		}
	}
	head, body, _ := strings.Cut(string(got), "spec:\n")
	if body == want.String() {
		return
	}
	if os.Getenv("RIPWRIGHT_WRITE") == "" {
		t.Fatalf("%s has other rules than %s; run this test with RIPWRIGHT_WRITE=1", wrapped, shipped)
	}
	if err := os.WriteFile(wrapped, []byte(head+"spec:\n"+want.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}
