package intake

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
)

const (
	// mostDeep is how deep messages and lists may be nested; the schema's own go half as
	// deep.
	mostDeep = 32
	// perByte is how many bytes a byte of the longest body may become. Dense requests,
	// boards of many stations, become seven times as long.
	perByte = 16
)

// Limits of one request.
type Limits struct {
	Memory int64
	// Sized leaves the entries of lists to the reader of the request: a line checks each
	// of its messages itself and continues.
	Sized bool
}

// LimitsOf gives the limits for bodies of at most that many bytes.
func LimitsOf(maxBody int64) Limits { return Limits{Memory: perByte * maxBody} }

// crowded reports that a list has too many entries.
func crowded(path string, n int, m *member) fault.List {
	var l fault.List
	l.Because(fault.WrongCount, path, "has %d entries; must have %s", n, m.takes)
	return l
}

func deep() fault.List {
	var l fault.List
	l.Add("body", "has messages and lists nested more than %d deep", mostDeep)
	return l
}

func (l Limits) large() fault.List {
	var f fault.List
	f.Because(fault.WrongCount, "body", "takes more than %d bytes in memory; send fewer entries in all", l.Memory)
	return f
}

// below gives the path of a member of the message at a path.
func below(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func entry(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }
