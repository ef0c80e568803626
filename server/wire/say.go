package wire

import (
	"strconv"
	"strings"

	"github.com/ripwright/ripwright/solver/fault"
)

// quote shows a caller's string in a message, cut to a length that fits one.
func quote(s string) string {
	const most = 128
	if r := []rune(s); len(r) > most {
		s = string(r[:most])
	}
	return strconv.Quote(s)
}

// unsure reports whether a fault at path may follow from one that the list already names:
// at path itself, in a part of it, in the whole to which it belongs, or in a neighbouring
// field. All fields of a saw are neighbours.
func unsure(l fault.List, path string) bool {
	for _, f := range l {
		if inside(f.Path, path) || inside(path, f.Path) || around(f.Path) == around(path) ||
			(inside("saw", f.Path) || f.Path == "saw_name") && inside("saw", path) {
			return true
		}
	}
	return false
}

func inside(whole, part string) bool {
	rest, ok := strings.CutPrefix(part, whole)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// around gives the message to which a field belongs.
func around(path string) string {
	return path[:max(strings.LastIndexByte(path, '.'), 0)]
}
