package trial

import (
	"os"

	"google.golang.org/protobuf/proto"
)

// every has each field tried in every request that holds it, as make verify does.
// Without it a field that several requests share, a blade's or a station's, is tried
// in the first of them alone.
var every = os.Getenv("RIPWRIGHT_EVERY") != ""

// once notes which fields were tried.
type once map[string]bool

// again reports whether a field was tried before and need not be now.
func (o once) again(s spot) bool {
	name := string(s.field.FullName())
	if s.entry >= 0 {
		name += " entry"
	}
	before := o[name]
	o[name] = true
	return before && !every
}

// quickly reports whether a request about whole orders is to be answered no more often
// than needed: a plan takes long, and longer under the race detector beside other work.
func quickly(req proto.Message) bool {
	path, _ := planPath(req)
	return path != "" && !every
}
