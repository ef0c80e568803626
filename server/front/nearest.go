package front

import (
	"strings"

	"github.com/agext/levenshtein"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// instead says what may have been meant by a name that is no field.
func instead(name string, m protoreflect.MessageDescriptor) string {
	names := make([]string, m.Fields().Len())
	typed := strings.ToLower(short(name))
	best, least := "", max(1, (len(typed)+1)/3)+1
	for i := range names {
		f := m.Fields().Get(i)
		names[i] = f.TextName()
		away := min(levenshtein.Distance(typed, f.TextName(), nil),
			levenshtein.Distance(typed, strings.ToLower(f.JSONName()), nil))
		if away < least {
			best, least = f.TextName(), away
		}
	}
	all := "there are " + strings.Join(names, ", ")
	if best != "" {
		return "did you mean " + best + "? " + strings.ToUpper(all[:1]) + all[1:]
	}
	return all
}
