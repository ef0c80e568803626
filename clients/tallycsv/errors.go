package tallycsv

import (
	"fmt"
	"strings"
)

// CellError is one wrong cell. Rows count from 1, the row of names, as in a spreadsheet.
type CellError struct {
	Row    int
	Column string // empty: the row as a whole
	Says   string // what is wrong and what would be right
}

func (e CellError) Error() string {
	if e.Column == "" {
		return fmt.Sprintf("row %d: %s", e.Row, e.Says)
	}
	return fmt.Sprintf("row %d, column %s: %s", e.Row, e.Column, e.Says)
}

// Errors are all wrong cells of a file, up to maxErrors. Nothing of such a file is used.
type Errors []CellError

// maxErrors limits the number reported: a wrong unit makes every row wrong.
const maxErrors = 50

func (e Errors) Error() string {
	says := make([]string, len(e))
	for i, c := range e {
		says[i] = c.Error()
	}
	if len(e) >= maxErrors {
		says = append(says, "and perhaps more")
	}
	return strings.Join(says, "\n")
}
