package files

import (
	"fmt"
	"strings"
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
