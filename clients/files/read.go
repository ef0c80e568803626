package files

import (
	"io"
	"os"

	"github.com/ripwright/ripwright/proto/file"
)

// File is a file that was read.
type File struct{ *file.File }

// Faults is all that is wrong in a file.
type Faults = file.Faults

// Open reads a file; the name - reads in. The error is a Faults if the file itself is
// wrong.
func Open(name string, k Kind, in io.Reader) (*File, error) {
	if name == "-" {
		text, err := io.ReadAll(in)
		if err != nil {
			return nil, err
		}
		return Read("standard input", text, k)
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	return Read(name, text, k)
}

// Read reads the text of a file. In a file whose name ends in .jsonl every line is a
// separate message. The error is a Faults.
func Read(name string, text []byte, k Kind) (*File, error) {
	f, err := file.Read(name, text, k.Kind)
	if err != nil {
		return nil, err
	}
	return &File{f}, nil
}
