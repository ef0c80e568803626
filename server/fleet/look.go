package fleet

import (
	"errors"

	"github.com/ripwright/ripwright/proto/file"
	"github.com/ripwright/ripwright/server/textfile"
)

// look is what was found at the place of a saw file. Looks can be compared.
type look struct {
	text    string
	problem string // why nothing was read
}

// maxFile bounds a saw file in bytes. Thousands of saws fit.
const maxFile = 1 << 20

// Check reads the saw file as Open does, or takes the built-in saws if name is empty. The
// error has a line for each fault.
func Check(name string) (*Fleet, error) {
	_, f, err := load(name)
	return f, err
}

func load(name string) (look, *Fleet, error) {
	if name == "" {
		f, err := BuiltIn()
		return look{}, f, err
	}
	v := peek(name)
	f, err := v.parse(name)
	var faults file.Faults
	if errors.As(err, &faults) { // all of them are listed here
		each := make([]error, len(faults))
		for i, f := range faults {
			each[i] = errors.New(f.String())
		}
		err = errors.Join(each...)
	}
	return v, f, err
}

func peek(name string) look {
	text, err := textfile.Read(name, maxFile)
	if err != nil {
		return look{problem: err.Error()}
	}
	return look{text: string(text)}
}

func (v look) parse(name string) (*Fleet, error) {
	if v.problem != "" {
		return nil, errors.New(v.problem)
	}
	return Parse(name, []byte(v.text))
}
