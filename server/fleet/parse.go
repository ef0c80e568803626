package fleet

import (
	"errors"
	"fmt"

	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/textfile"
	"github.com/ripwright/ripwright/server/wire"
)

// Parse reads a saw file: a list of saws in YAML or JSON, in the format of package file,
// each with a unique name. The error is a file.Faults with all that is wrong; name is
// what it calls the file.
func Parse(name string, text []byte) (*Fleet, error) {
	var deep textfile.Deep
	if err := textfile.YAML(text); errors.As(err, &deep) {
		return nil, file.Faults{{File: name, Line: deep.Line, Says: deep.Says()}}
	}
	// The reader reports the places of anchors and aliases; it resolves none.
	in, err := file.Read(name, text, file.Saws)
	var faults file.Faults
	if err != nil && !errors.As(err, &faults) {
		return nil, err
	}
	f := &Fleet{saws: make(map[string]*wire.Machine, len(in.Messages))}
	first := map[string]int{} // the line of each name
	for i := range in.Messages {
		if in.Messages[i] == nil {
			continue // its faults are reported already
		}
		fault := func(path, says string, args ...any) {
			faults = append(faults, file.Fault{File: name, Line: in.Line(i, path), Path: fmt.Sprintf("saws[%d].%s", i, path), Says: fmt.Sprintf(says, args...)})
		}
		var m ripwrightv1.Saw
		if err := in.Into(i, &m); err != nil {
			return nil, err
		}
		switch name := m.GetName(); {
		case name == "":
			fault("name", "is empty; callers ask for a saw by its name")
		case first[name] != 0:
			fault("name", "is %q, the same as on line %d; every saw needs a name of its own", name, first[name])
		default:
			first[name] = in.Line(i, "name")
		}
		s, wrong := wire.Saw(&m)
		for _, w := range wrong {
			fault(w.Path, "%s", w.Says)
		}
		f.saws[m.GetName()] = &s
	}
	if len(faults) > 0 {
		faults.Sort()
		return nil, faults
	}
	return f, nil
}
