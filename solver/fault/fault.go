// Package fault names what is wrong with an input: which field, and what would be right.
// Paths use the names of the service's schema, so that callers find the field however
// they sent the request.
package fault

import (
	"fmt"
	"strings"
)

// Fault is one wrong field.
type Fault struct {
	Path   string // for example "board.stations[3].near_mm"
	Says   string // what is wrong and what would be right
	Reason Reason
}

// List is all that is wrong with an input. A non-empty list is an error.
type List []Fault

// Add appends a fault of the field at path in relation to others.
func (l *List) Add(path, format string, args ...any) { l.Because(Contradiction, path, format, args...) }

// Because appends a fault of another kind for the field at path.
func (l *List) Because(reason Reason, path, format string, args ...any) {
	*l = append(*l, Fault{path, fmt.Sprintf(format, args...), reason})
}

// Within appends the faults of a part, with prefix before their paths.
func (l *List) Within(prefix string, part List) {
	for _, f := range part {
		if f.Path != "" {
			f.Path = prefix + "." + f.Path
		} else {
			f.Path = prefix
		}
		*l = append(*l, f)
	}
}

// Err gives nil for an empty list, otherwise the list as an error.
func (l List) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l
}

func (l List) Error() string {
	parts := make([]string, len(l))
	for i, f := range l {
		parts[i] = f.Path + ": " + f.Says
	}
	return strings.Join(parts, "; ")
}
