package wire

import (
	"strconv"
	"strings"

	"github.com/ripwright/ripwright/solver/fault"
)

// quote shows a caller's string in a message, cut to a length that fits one.
func quote(s string) string {
	if r := []rune(s); len(r) > maxID {
		s = string(r[:maxID])
	}
	return strconv.Quote(s)
}

// named reports whether the list already speaks of path, of a part of it or of
// the whole that it belongs to.
func named(l fault.List, path string) bool {
	for _, f := range l {
		if inside(f.Path, path) || inside(path, f.Path) {
			return true
		}
	}
	return false
}

func inside(whole, part string) bool {
	rest, ok := strings.CutPrefix(part, whole)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}
