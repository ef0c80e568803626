package fleet

import "github.com/goccy/go-yaml/token"

// mostNested bounds how deep lists and groups stand in one another. A saw file
// needs five levels; the parser's time grows with their square, or worse.
const mostNested = 16

// nested gives the line on which a file goes deeper than it may within brackets
// or dashes; 0: nowhere. Levels by indentation alone take as many columns, so a
// file that is not long has few.
func nested(tokens token.Tokens) int {
	depth, dashes, at := 0, 0, 0
	for _, t := range tokens {
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth--
		case token.SequenceEntryType:
			if t.Position.Line != at {
				dashes, at = 0, t.Position.Line
			}
			dashes++
		}
		if max(depth, dashes) > mostNested {
			return t.Position.Line
		}
	}
	return 0
}
