// Package fleet holds the saws that callers may name instead of writing them
// out.
package fleet

import (
	_ "embed" // for the saws that come with the service
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/saw"
)

// builtIn are invented saws to try the service with; no maker's machine.
//
//go:embed saws.json
var builtIn []byte

// Fleet is a set of named saws. It does not change once it is made.
type Fleet struct {
	saws map[string]*saw.Saw
}

// BuiltIn gives the saws that come with the service.
func BuiltIn() (*Fleet, error) { return Parse(builtIn) }

// Parse reads a saw file: a JSON list of ripwright.v1.Saw messages, each with a
// name of its own.
func Parse(file []byte) (*Fleet, error) {
	var parts []json.RawMessage
	if err := json.Unmarshal(file, &parts); err != nil {
		return nil, fmt.Errorf("saws: not a JSON list: %w", err)
	}
	f := &Fleet{saws: make(map[string]*saw.Saw, len(parts))}
	for i, part := range parts {
		var m ripwrightv1.Saw
		if err := protojson.Unmarshal(part, &m); err != nil {
			return nil, fmt.Errorf("saws[%d]: %w", i, err)
		}
		name := m.GetName()
		if name == "" {
			return nil, fmt.Errorf("saws[%d].name: is empty; callers ask for a saw by its name", i)
		}
		if _, twice := f.saws[name]; twice {
			return nil, fmt.Errorf("saws[%d].name: %q is there twice", i, name)
		}
		s, faults := wire.Saw(&m)
		if len(faults) > 0 {
			return nil, fmt.Errorf("saws[%d].%s: %s", i, faults[0].Path, faults[0].Says)
		}
		f.saws[name] = &s
	}
	return f, nil
}

// Find gives the saw called name. It must not be changed.
func (f *Fleet) Find(name string) (*saw.Saw, bool) {
	s, ok := f.saws[name]
	return s, ok
}

// Names lists the saws.
func (f *Fleet) Names() []string { return slices.Sorted(maps.Keys(f.saws)) }
