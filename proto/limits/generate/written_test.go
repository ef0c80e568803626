package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/proto/limits"
)

// The constants that are checked in are those of the schema.
func TestConstantsAreOfTheSchema(t *testing.T) {
	want, err := written(limits.All)
	if err != nil {
		t.Fatal(err)
	}
	// Run in proto, the command writes to a folder beside it.
	got, err := os.ReadFile("../../" + constants)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Error("the constants differ from the schema; make generate writes them")
	}
}

func TestWritten(t *testing.T) {
	text, err := written([]limits.Limit{
		{Message: "Board", Field: "length_mm", Counts: limits.Numbers, Range: limits.Range{Most: 20_000, Above: true}},
		{Message: "Board", Field: "stations", Counts: limits.Entries, Range: limits.Range{Least: 1, Most: 2_000}},
		{Message: "Saw", Field: "step_mm", Counts: limits.Numbers, Range: limits.Range{Least: 0.01, Most: 1e15}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"const (\n\tLeastBoardLengthMm, MostBoardLengthMm                   = 0, 20000 // the least is not taken\n" +
			"\tLeastEntriesOfBoardStations, MostEntriesOfBoardStations = 1, 2000\n)\n",
		"const (\n\tLeastSawStepMm, MostSawStepMm = 0.01, 1000000000000000\n)\n",
	} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the constants lack %q:\n%s", want, text)
		}
	}
}
