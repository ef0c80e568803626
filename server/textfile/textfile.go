// Package textfile reads the files that an operator gives the service, within bounds:
// whoever can place a file must not be able to take the machine's memory with it.
package textfile

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"
)

// Read reads a file of at most so many bytes. It has to be a regular file: opening a
// pipe would wait for its other end, and a device may have no end.
func Read(name string, most int64) ([]byte, error) {
	if info, err := os.Stat(name); err != nil {
		var path *os.PathError
		if errors.As(err, &path) {
			path.Op = "open" // as people expect to read it
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

// mostNested bounds how deep lists and groups stand in one another in YAML. A saw file
// needs five levels; a parser's time and memory grow with their square, or worse.
const mostNested = 16

// mostIndent bounds how far a line is indented: levels may be a column wide.
const mostIndent = 200

// ErrAlias is what is wrong with a file that repeats a part of itself by a name: a few
// of those in one another are a file without end.
var ErrAlias = errors.New("has anchors or aliases; write out what they stand for")

// Deep is what is wrong with a file that goes too deep.
type Deep struct{ Line int }

// Says is it without the line.
func (Deep) Says() string { return fmt.Sprintf("goes over %d levels deep", mostNested) }

// Error implements error.
func (d Deep) Error() string { return fmt.Sprintf("line %d: %s", d.Line, d.Says()) }

// YAML says what is wrong with a text in YAML that a parser should not get to see. It
// looks at the bytes first, since to split a text into tokens may take much too.
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

// deep gives the line on which a text goes deeper than it may; 0: nowhere. Brackets in
// words and in texts of several lines count too, quoted ones do not.
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

// opens reports whether a quote after a byte begins a quoted text.
func opens(before byte) bool {
	switch before {
	case '\n', ' ', '\t', '[', '{', ',', ':', '-':
		return true
	}
	return false
}
