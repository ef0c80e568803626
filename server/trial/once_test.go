package trial

import (
	"os"

	"google.golang.org/protobuf/proto"
)

// every makes each field be tried in every request that holds it, over both transports, as
// make verify does. Otherwise a field that several requests share, such as a blade's or a
// station's, is tried only in the first of them, and over one transport.
var every = os.Getenv("RIPWRIGHT_EVERY") != ""

// once records which fields were tried.
type once map[string]bool

// again reports whether a field was tried before and can be skipped.
func (o once) again(s spot) bool {
	name := string(s.field.FullName())
	if s.entry >= 0 {
		name += " entry"
	}
	before := o[name]
	o[name] = true
	return before && !every
}

// quickly reports whether a request about whole orders should be answered no more often
// than needed: a plan takes long, above all under the race detector.
func quickly(req proto.Message) bool {
	path, _ := planPath(req)
	return path != "" && !every
}
