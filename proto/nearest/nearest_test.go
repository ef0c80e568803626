package nearest_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/proto/nearest"
)

func Example() {
	fmt.Println(nearest.Name("heorn", []string{"plover", "heron", "dipper"}))
	// Output: heron
}

func TestName(t *testing.T) {
	names := []string{"heron", "plover", "length_mm", "thickness_mm", "drain-delay", "id", "saw", "saw_name"}
	for typed, want := range map[string]string{
		// One mistake of each kind that Damerau (1964) distinguishes.
		"heon": "heron", "heronn": "heron", "herom": "heron", "heorn": "heron", "ehron": "heron",
		// Two, in longer names.
		"tihckness_m": "thickness_mm", "drian-deley": "drain-delay",
		"herne": "heron",
		// No mistakes: the same name written differently.
		"HERON": "heron", "lengthMm": "length_mm", "drain_delay": "drain-delay", "sawName": "saw_name",
		// The nearer of two.
		"sawname": "saw_name", "sew": "saw",
		// One of two letters may be wrong, but never all letters of a word.
		"ie": "id", "x": "", "": "", "-": "",
		// Other words.
		"egret": "", "hxrxx": "", "width_mm": "", "moulder": "",
		// Umlauts are letters, and bytes that are not UTF-8 do no harm.
		"hérôx": "", "héron": "heron", "her\xffon": "heron",
		strings.Repeat("heron", 20): "",
	} {
		if got := nearest.Name(typed, names); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}

// The number of comparisons is bounded, whatever is asked.
func TestBounds(t *testing.T) {
	names := make([]string, 5_000)
	for i := range names {
		names[i] = fmt.Sprint("nothing like it ", i)
	}
	names[4_999] = "heron"
	if got := nearest.Name("heorn", names); got != "" {
		t.Errorf("%q is found beyond the names that are looked at", got)
	}
	if got := nearest.Name("heorn", names[4_990:]); got != "heron" {
		t.Errorf("%q is found among few", got)
	}
}
