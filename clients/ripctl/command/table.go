package command

import (
	"bytes"
	"encoding/csv"
	"io"
	"strconv"
	"text/tabwriter"
)

// newTable makes a table whose columns are separated by tabs.
func newTable(w io.Writer) *tabwriter.Writer {
	return tabwriter.NewWriter(&trimmer{w: w}, 0, 0, 2, ' ', 0)
}

// trimmer removes the trailing spaces of lines, which a table has if its last cells are
// empty.
type trimmer struct {
	w    io.Writer
	line []byte
}

func (t *trimmer) Write(p []byte) (int, error) {
	t.line = append(t.line, p...)
	for {
		end := bytes.IndexByte(t.line, '\n')
		if end < 0 {
			return len(p), nil
		}
		line := append(bytes.TrimRight(t.line[:end], " "), '\n')
		t.line = t.line[end+1:]
		if _, err := t.w.Write(line); err != nil {
			return 0, err
		}
	}
}

// rows writes a table for a spreadsheet.
func (t *tool) rows(all [][]string) error {
	w := csv.NewWriter(t.out)
	_ = w.WriteAll(all) // Error reports errors
	return w.Error()
}

// exactly writes a number with all its digits and no more.
func exactly(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
