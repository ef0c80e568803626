// Package textfile reads the files that an operator gives the service, within bounds: a
// person who can place a file must not be able to exhaust the machine's memory with it.
package textfile

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"
)

// Read reads a file of at most that many bytes. It must be a regular file: opening a pipe
// would wait for its other end, and a device may have no end.
func Read(name string, most int64) ([]byte, error) {
	if info, err := os.Stat(name); err != nil {
		var path *os.PathError
		if errors.As(err, &path) {
			path.Op = "open" // the usual word
		}
		return nil, err
	} else if !info.Mode().IsRegular() {
		return nil, &os.PathError{Op: "read", Path: name, Err: errors.New("is not a regular file")}
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // it was only read
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(text)) > most {
		err = &os.PathError{Op: "read", Path: name, Err: fmt.Errorf("is over %d bytes", most)}
	}
	if err != nil {
		return nil, err
	}
	return text, nil
}

// mostNested bounds how deep lists and mappings are nested in YAML. A saw file needs five
// levels; a parser's time and memory grow with their square, or worse.
const mostNested = 16

// mostIndent bounds the indentation of a line: a level may be one column wide.
const mostIndent = 200

// ErrAlias is the error of a file with anchors or aliases: a few of those nested expand
// without end.
var ErrAlias = errors.New("has anchors or aliases; write out what they stand for")

// Deep is the error of a file that is nested too deeply.
type Deep struct{ Line int }

// Says is the error without the line.
func (Deep) Says() string { return fmt.Sprintf("is nested more than %d levels deep", mostNested) }

// Error implements error.
func (d Deep) Error() string { return fmt.Sprintf("line %d: %s", d.Line, d.Says()) }

// YAML finds what is wrong with a YAML text that a parser must not see. It checks the
// bytes first, since splitting a text into tokens may take much memory too.
func YAML(text []byte) error {
	if line := deep(text); line > 0 {
		return Deep{line}
	}
	depth, dashes, at := 0, 0, 0
	for _, t := range lexer.Tokenize(string(text)) {
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth--
		case token.AnchorType, token.AliasType:
			return ErrAlias
		case token.SequenceEntryType, token.MappingKeyType:
			if t.Position.Line != at {
				dashes, at = 0, t.Position.Line
			}
			dashes++
		}
		if max(depth, dashes) > mostNested {
			return Deep{t.Position.Line}
		}
	}
	return nil
}

// deep gives the line on which a text is nested too deeply; 0: none. Brackets in words
// and in multi-line strings count too, quoted ones do not.
func deep(text []byte) int {
	line, depth, dashes, indent, start := 1, 0, 0, 0, true
	var quote byte
	before := byte('\n')
	for i := 0; i < len(text); i++ {
		c := text[i]
		if c == '\n' {
			line++
			dashes, indent, start = 0, 0, true
		}
		switch {
		case quote == '"' && c == '\\':
			i++
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			if opens(before) {
				quote = c
			}
		case c == '#' && (before == ' ' || before == '\n' || before == '\t'):
			for i+1 < len(text) && text[i+1] != '\n' {
				i++
			}
		case c == '[' || c == '{':
			depth++
		case c == ']' || c == '}':
			depth = max(depth-1, 0)
		case (c == '-' || c == '?') && start && (i+1 == len(text) || text[i+1] == ' ' || text[i+1] == '\t' || text[i+1] == '\n'):
			dashes++
		case c == ' ' || c == '\t':
			if start {
				indent++
			}
		case c != '\n' && c != '\r':
			start = false
		}
		if max(depth, dashes) > mostNested || indent > mostIndent {
			return line
		}
		before = c
	}
	return 0
}

// opens reports whether a quote after a byte begins a quoted string.
func opens(before byte) bool {
	switch before {
	case '\n', ' ', '\t', '[', '{', ',', ':', '-':
		return true
	}
	return false
}
