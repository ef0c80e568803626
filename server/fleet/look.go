package fleet

import (
	"errors"

	"github.com/ripwright/ripwright/server/textfile"
)

// look is what there was to see in the place of a saw file. Looks can be
// compared.
type look struct {
	text    string
	problem string // why there was none
}

// maxFile bounds a saw file in bytes. Thousands of saws fit.
const maxFile = 1 << 20

// Check reads the saw file as Open does, or takes the built-in saws where file
// is empty. The error has a line for each fault.
func Check(file string) (*Fleet, error) {
	_, f, err := load(file)
	return f, err
}

func load(file string) (look, *Fleet, error) {
	if file == "" {
		f, err := BuiltIn()
		return look{}, f, err
	}
	v := peek(file)
	f, err := v.parse()
	var faults Faults
	if errors.As(err, &faults) {
		err = faults.in(file)
	}
	return v, f, err
}

func peek(file string) look {
	text, err := textfile.Read(file, maxFile)
	if err != nil {
		return look{problem: err.Error()}
	}
	return look{text: string(text)}
}

func (v look) parse() (*Fleet, error) {
	if v.problem != "" {
		return nil, errors.New(v.problem)
	}
	return Parse([]byte(v.text))
}
