package config

import (
	"fmt"
	"strings"

	"github.com/agext/levenshtein"
)

// Fault is one thing that is wrong with a configuration.
type Fault struct {
	From string // the flag, the variable, or the file and its key
	Says string // what is wrong and what would be right
}

// Faults is all that is wrong with a configuration.
type Faults []Fault

func (f *Faults) add(from, format string, args ...any) {
	*f = append(*f, Fault{from, fmt.Sprintf(format, args...)})
}

// Error has one line for each fault.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, one := range f {
		lines[i] = one.From + ": " + one.Says
	}
	return strings.Join(lines, "\n")
}

// suggest gives "; did you mean ...?" with the nearest of the known names, or
// nothing where none is near.
func suggest(name string, known []string) string {
	best, least := "", 4 // more typing errors than that are another word
	for _, k := range known {
		if d := levenshtein.Distance(name, k, nil); d < least && 2*d < len(k) { // half of it is no slip either
			best, least = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("; did you mean %s?", best)
}
