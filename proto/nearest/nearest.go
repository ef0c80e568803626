// Package nearest finds the name that a mistyped one was meant to be. Service and
// clients share its rule.
package nearest

import (
	"strings"
	"unicode/utf8"

	"github.com/hbollon/go-edlib"
)

// Bounds on a search, which anybody can ask for.
const (
	mostTyped = 64 // bytes
	mostNames = 1_000
)

// plain drops what is no difference between names: capitals, hyphens and low lines.
var plain = strings.NewReplacer("-", "", "_", "")

// Name gives the name that is nearest to one that none of them is, where at most two
// fifths of what was typed are wrong, but one letter may be of any name longer than that;
// empty: there is none. Of names that are as near the first counts. A mistake is a letter too
// many, too few or wrong, or two neighbours that have changed places: the optimal string
// alignment distance (Damerau, A technique for computer detection and correction of
// spelling errors, Communications of the ACM 7(3), 1964; restricted to edits that do not
// overlap). Capitals, hyphens and low lines count for nothing.
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
			continue // no less apart than they differ in length
		}
		if d := edlib.OSADamerauLevenshteinDistance(typed, f); d < least {
			best, least = name, d
		}
	}
	return best
}

func fold(name string) string { return plain.Replace(strings.ToLower(name)) }
