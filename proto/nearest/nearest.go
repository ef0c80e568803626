// Package nearest finds the name that a mistyped one was meant to be. The service and its
// clients share its rule.
package nearest

import (
	"strings"
	"unicode/utf8"

	"github.com/hbollon/go-edlib"
)

// Bounds on a search, which any caller can trigger.
const (
	mostTyped = 64 // bytes
	mostNames = 1_000
)

// plain drops what makes no difference between names: hyphens and underscores.
var plain = strings.NewReplacer("-", "", "_", "")

// Name gives the name nearest to one that is none of them; of equally near ones the
// first; empty: none is near enough. At most two fifths of what was typed may be wrong,
// but one letter may be in any name longer than that. A mistake is a letter too many,
// missing or wrong, or two neighbours exchanged: the optimal string alignment distance
// (Damerau, A technique for computer detection and correction of spelling errors,
// Communications of the ACM 7(3), 1964; restricted to edits that do not overlap).
// Capitals, hyphens and underscores are ignored.
func Name(typed string, names []string) string {
	if len(typed) > mostTyped {
		return ""
	}
	typed = fold(typed)
	n := utf8.RuneCountInString(typed)
	best, least := "", min(max(1, n*2/5)+1, n)
	for _, name := range names[:min(len(names), mostNames)] {
		f := fold(name)
		if m := utf8.RuneCountInString(f); m >= n+least || n >= m+least {
			continue // the distance is at least the difference in length
		}
		if d := edlib.OSADamerauLevenshteinDistance(typed, f); d < least {
			best, least = name, d
		}
	}
	return best
}

func fold(name string) string { return plain.Replace(strings.ToLower(name)) }
