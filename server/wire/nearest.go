package wire

import (
	"strings"

	"github.com/agext/levenshtein"
)

// named are saws that tell their names.
type named interface{ Names() []string }

// Bounds on the search for a near name.
const (
	nearestTyped = 40 // characters
	nearestOf    = 1_000
)

// nearest gives the saw whose name is nearest to one that no saw has, capitals or
// not, where at most a third of it is typed otherwise; empty: there is none.
func nearest(typed string, saws Saws) string {
	of, ok := saws.(named)
	if !ok || len(typed) > nearestTyped {
		return ""
	}
	names := of.Names()
	typed = strings.ToLower(typed)
	best, least := "", max(1, len(typed)/3)+1
	for _, name := range names[:min(len(names), nearestOf)] {
		if len(name) >= len(typed)+least || len(typed) >= len(name)+least {
			continue // no less apart than they differ in length
		}
		if d := levenshtein.Distance(typed, strings.ToLower(name), nil); d < least {
			best, least = name, d
		}
	}
	return best
}
