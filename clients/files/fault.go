package files

import (
	"fmt"
	"strings"

	"github.com/agext/levenshtein"
)

// Fault is something wrong in a file.
type Fault struct {
	File string
	Line int
	Path string // of the field, as the service names it; may be empty
	Says string
}

func (f Fault) String() string {
	at := fmt.Sprintf("%s:%d: ", f.File, f.Line)
	if f.Path != "" {
		at += f.Path + " "
	}
	return at + f.Says
}

// Faults is all that is wrong in a file. It is an error when it is not empty.
type Faults []Fault

// mostFaults is how many are told of: of a file of another kind every line is wrong.
const mostFaults = 12

func (l Faults) Error() string {
	var lines []string
	for _, f := range l[:min(len(l), mostFaults)] {
		lines = append(lines, f.String())
	}
	if more := len(l) - mostFaults; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(lines, "\n")
}

// nearest gives the name that a misspelt one was most likely meant to be, or
// nothing if none is near.
func nearest(name string, names []string) string {
	best, least := "", 1+len(name)/4
	for _, n := range names {
		if d := levenshtein.Distance(strings.ToLower(name), n, nil); d <= least && (best == "" || d < least) {
			best, least = n, d
		}
	}
	return best
}
