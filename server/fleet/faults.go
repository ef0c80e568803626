package fleet

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing that is wrong with a saw file.
type Fault struct {
	Line int    // from 1
	Path string // for instance "saws[1].blades[0].fixed_mm"; empty for the file as a whole
	Says string // what is wrong and what would be right
}

func (f Fault) String() string { return fmt.Sprintf("line %d: %s", f.Line, f.text()) }

func (f Fault) text() string {
	if f.Path == "" {
		return f.Says
	}
	return f.Path + ": " + f.Says
}

// Faults is all that is wrong with a saw file, in the order of its lines.
type Faults []Fault

// Error has one line for each fault.
func (l Faults) Error() string {
	parts := make([]string, len(l))
	for i, f := range l {
		parts[i] = f.String()
	}
	return strings.Join(parts, "\n")
}

func (l Faults) sort() {
	slices.SortStableFunc(l, func(a, b Fault) int { return cmp.Compare(a.Line, b.Line) })
}

// in gives the faults as those of a file that has a name, each as file:line.
func (l Faults) in(file string) error {
	each := make([]error, len(l))
	for i, f := range l {
		each[i] = fmt.Errorf("%s:%d: %s", file, f.Line, f.text())
	}
	return errors.Join(each...)
}
