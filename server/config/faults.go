package config

import (
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/proto/nearest"
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

// suggest gives "; did you mean ...?" with the setting or other name nearest to an
// unknown one, written as its source writes it, or nothing.
func suggest(name string, known []string, written func(string) string) string {
	best := nearest.Name(strings.TrimPrefix(name, prefix), known)
	if best == "" {
		return ""
	}
	return fmt.Sprintf("; did you mean %s?", written(best))
}
