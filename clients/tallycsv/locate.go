package tallycsv

import (
	"regexp"
	"strconv"
	"strings"
)

var (
	packPath = regexp.MustCompile(`^packs\[([0-9]+)\](?:\.|$)`)
	partPath = regexp.MustCompile(`^(boards|tally\.counts\.lines|tally\.surfaces\.lines)\[([0-9]+)\]`)
)

// Locate finds the cell that a field came from, by the field's path in a request with the
// packs of the sheet. The column is empty if the path refers to a whole row. It reports
// false for what did not come from the sheet.
func (s *Sheet) Locate(path string) (row int, column string, ok bool) {
	m := packPath.FindStringSubmatch(path)
	if m == nil {
		return 0, "", false
	}
	i, err := strconv.Atoi(m[1])
	if err != nil || i >= len(s.places) {
		return 0, "", false
	}
	p, rest := s.places[i], path[len(m[0]):]
	row = p.first
	if part := partPath.FindStringSubmatch(rest); part != nil {
		rows := p.boards
		if part[1] != "boards" {
			rows = p.lines
		}
		j, err := strconv.Atoi(part[2])
		if err != nil || j >= len(rows) {
			return 0, "", false
		}
		row = rows[j]
	} else if rest == "tally.board_feet" {
		row = p.total
	}
	switch column = rest[strings.LastIndex(rest, ".")+1:]; {
	case rest == "tally.basis":
		column = "tally_basis"
	case find(column) == nil:
		column = ""
	}
	return row, column, true
}

// Explain turns the faults of a service's answer, by path and text, into wrong cells;
// what did not come from the sheet keeps its path.
func (s *Sheet) Explain(path, says string) error {
	if row, column, ok := s.Locate(path); ok {
		return CellError{row, column, says}
	}
	return &fieldError{path, says}
}

type fieldError struct{ path, says string }

func (e *fieldError) Error() string { return e.path + ": " + e.says }
