package front

import (
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/nearest"
)

// instead suggests the field that an unknown name may have meant.
func instead(name string, m protoreflect.MessageDescriptor) string {
	names := make([]string, m.Fields().Len())
	for i := range names {
		names[i] = m.Fields().Get(i).TextName()
	}
	all := "there are " + strings.Join(names, ", ")
	if best := nearest.Name(name, names); best != "" {
		return "did you mean " + best + "? " + strings.ToUpper(all[:1]) + all[1:]
	}
	return all
}
