// Package fleet holds the saws that callers may name instead of describing them, and
// reads them again while the service runs.
package fleet

import (
	_ "embed" // for the saws that come with the service
	"maps"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
)

// builtIn are invented saws to try the service with; no maker's machine.
//
//go:embed saws.json
var builtIn []byte

// Fleet is a set of named saws. It does not change once it is made.
type Fleet struct {
	saws map[string]*wire.Machine
}

// BuiltIn gives the saws that come with the service.
func BuiltIn() (*Fleet, error) { return Parse("built-in saws", builtIn) }

// Find gives the saw called name. It must not be changed.
func (f *Fleet) Find(name string) (*wire.Machine, bool) {
	s, ok := f.saws[name]
	return s, ok
}

// Names lists the saws.
func (f *Fleet) Names() []string { return slices.Sorted(maps.Keys(f.saws)) }

// Messages gives the saws as they were written, in order of their names. They
// must not be changed.
func (f *Fleet) Messages() []*ripwrightv1.Saw {
	all := make([]*ripwrightv1.Saw, 0, len(f.saws))
	for _, name := range f.Names() {
		all = append(all, f.saws[name].Message)
	}
	return all
}
