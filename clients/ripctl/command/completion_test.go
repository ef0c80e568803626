package command

import (
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// A shell completes commands, flags and the values of flags that have a few.
func TestCompletion(t *testing.T) {
	b := open(t)
	for typed, want := range map[string]string{
		"":                                       "quote line values arbor sequence replay solve check explain draw tally saws demo schema version",
		"qu":                                     "quote",
		"quote --ob":                             "--objective",
		"quote --objective ":                     "boards face cost",
		"quote --values ":                        "planned own yield",
		"quote --table ":                         "quote items fill",
		"values --objective ":                    "boards face cost",
		"line --table ":                          "plans items stacks packs",
		"line --conf":                            "--confirmations",
		"tally --table ":                         "packs groups suppliers findings",
		"tally --rule ":                          "surface block end exact metric",
		"solve --units ":                         "mm in",
		"solve --saw-file MILL/saws.yaml --saw ": "creek",
		"check MILL/boards.jsonl --board ":       "AC-001 AC-012",
		"draw - MILL/none.jsonl --board ":        ":4",
		"schema ":                                "order saws boards setting lumber confirmations day arbors",
	} {
		args := append([]string{"__complete"}, strings.Split(strings.ReplaceAll(typed, "MILL", b.dir), " ")...)
		out, _ := b.complete(t, args...)
		for _, w := range strings.Fields(want) {
			if !strings.Contains("\n"+out, "\n"+w) {
				t.Errorf("after %q there is no %s:\n%s", typed, w, out)
			}
		}
	}
}

// Every flag has a description, and those with a fixed set of values complete them.
func TestFlagsAreDescribed(t *testing.T) {
	root := (&tool{}).root()
	for _, c := range append([]*cobra.Command{root}, root.Commands()...) {
		if c.Short == "" || strings.HasSuffix(c.Short, ".") {
			t.Errorf("%s is described as %q", c.Name(), c.Short)
		}
		for _, l := range strings.Split(c.Long, "\n") {
			if len(l) > 84 {
				t.Errorf("%s: a line of its help has %d characters: %s", c.Name(), len(l), l)
			}
		}
	}
}
