package file

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing that is wrong in a file.
type Fault struct {
	File string // empty: it has no name
	Line int    // from 1
	Path string // of the field, such as "saws[1].blades[0].fixed_mm"; empty for the file as a whole
	Says string // what is wrong and what would be right
}

func (f Fault) String() string {
	at := fmt.Sprintf("%s:%d: ", f.File, f.Line)
	if f.File == "" {
		at = fmt.Sprintf("line %d: ", f.Line)
	}
	if f.Path != "" {
		at += f.Path + " "
	}
	return at + f.Says
}

// Faults is all that is wrong in a file; an empty one is no error.
type Faults []Fault

// mostFaults is how many faults are listed: in another kind of file every line is wrong.
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

// Sort puts faults into the order of their lines.
func (l Faults) Sort() {
	slices.SortStableFunc(l, func(a, b Fault) int { return cmp.Compare(a.Line, b.Line) })
}
