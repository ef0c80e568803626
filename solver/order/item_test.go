package order

import (
	"testing"

	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// The messages name the limits as the guides do, in the units of the fields. Amounts are
// held in micrometres, square micrometres or pieces, values in millionths.
func TestLimitsInMessages(t *testing.T) {
	const amounts = "must be 0 or more and at most 1e12 m, 1e6 m2 or 1e18 pieces"
	it := Item{Min: 60 * unit.Millimetre, Max: 60 * unit.Millimetre, Value: saw.MaxValue, Required: MaxAmount, Made: MaxAmount}
	if l := it.Faults(); len(l) > 0 {
		t.Error(l)
	}
	it.Value++
	it.Required++
	it.Made++
	want := map[string]string{"value": "must be 0 to 1000000", "required": amounts, "made": amounts}
	for _, f := range it.Faults() {
		if f.Says != want[f.Path] {
			t.Errorf("%s: %q, want %q", f.Path, f.Says, want[f.Path])
		}
		delete(want, f.Path)
	}
	if len(want) > 0 {
		t.Errorf("no fault of %v", want)
	}
}
