package tallycsv

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Sheet is a file that was read.
type Sheet struct {
	// Packs in the order of their first rows, ready for a TallyPack request.
	Packs []*ripwrightv1.Pack

	places []places // parallel to Packs
}

// places are the rows that a pack's parts came from.
type places struct {
	first, total  int
	boards, lines []int
}

// Read reads a file. The error is Errors if cells are wrong; the sheet is then nil. What
// only the service knows, such as species and published limits, is left to the service:
// Sheet.Locate finds the cell that its answer refers to.
func Read(r io.Reader) (*Sheet, error) {
	in := bufio.NewReader(r)
	if mark, _ := in.Peek(3); string(mark) == "\uFEFF" {
		_, _ = in.Discard(3) // peeked, so present
	}
	records := csv.NewReader(in)
	records.Comma = separator(in)
	records.FieldsPerRecord = -1
	records.ReuseRecord = true
	f := file{at: map[string]int{}, packs: map[string]*pack{}}
	head, err := records.Read()
	switch {
	case errors.Is(err, io.EOF):
		return nil, Errors{{1, "", "the file is empty; its first row must name the columns"}}
	case err != nil:
		return nil, broken(err)
	}
	if f.header(head); len(f.errors) > 0 {
		return nil, f.errors
	}
	for len(f.errors) < maxErrors {
		cells, err := records.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, broken(err)
		}
		f.row, _ = records.FieldPos(0)
		f.record(cells)
	}
	if len(f.errors) == 0 && len(f.sheet.Packs) == 0 {
		f.fail("", "the file has no rows below its names")
	}
	if len(f.errors) > 0 {
		return nil, f.errors
	}
	return &f.sheet, nil
}

// mostHead is how much of the first row is searched for the separator.
const mostHead = 4096

// separator gives the separator of the cells: a comma, or, if the first row has no comma,
// the semicolon or tab that it has, as spreadsheets write them in some countries.
func separator(in *bufio.Reader) rune {
	head, _ := in.Peek(mostHead) // a shorter file is fine
	if end := bytes.IndexAny(head, "\r\n"); end >= 0 {
		head = head[:end]
	}
	for _, c := range ",;\t" {
		if bytes.ContainsRune(head, c) {
			return c
		}
	}
	return ','
}

// broken says where a file stops being CSV; errors of reading it are passed on.
func broken(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return Errors{{p.Line, "", "is not CSV: " + p.Err.Error()}}
	}
	return err
}

// file is the file being read.
type file struct {
	sheet  Sheet
	at     map[string]int // place of each column
	names  []string
	metric bool
	packs  map[string]*pack
	row    int
	errors Errors
}

// pack is the pack being assembled.
type pack struct {
	index int
	cells map[string]string // of its first row
	basis ripwrightv1.TallyBasis
}

func (f *file) fail(column, says string) {
	f.errors = append(f.errors, CellError{max(f.row, 1), column, says})
}

func (f *file) header(head []string) {
	for i, cell := range head {
		name, err := clean(cell)
		name = strings.ToLower(name)
		f.names = append(f.names, name)
		_, twice := f.at[name]
		switch {
		case err != nil:
			f.fail(shown(name), err.Error())
		case name == "":
			continue // a column without a name must be empty
		case find(name) == nil && strings.ContainsAny(name, ";\t"):
			f.fail("", "has semicolons or tabs between its names; a comma must stand between cells")
		case find(name) == nil:
			f.fail(shown(name), "is not a column; columns are "+strings.Join(Columns(), ", "))
		case twice:
			f.fail(name, "is given twice")
		}
		f.at[name] = i
	}
	has := func(names []string) string {
		for _, n := range names {
			if _, ok := f.at[n]; ok {
				return n
			}
		}
		return ""
	}
	inch, metric := has(inchColumns), has(metricColumns)
	if inch != "" && metric != "" {
		f.fail(metric, "is given together with "+inch+"; sizes must be all in inches and feet or all in millimetres")
	}
	f.metric = metric != ""
	for _, need := range append([]string{"pack_id", "row"}, ofFirstRow...) {
		if _, ok := f.at[need]; !ok {
			f.fail(need, "is missing; every file needs this column")
		}
	}
}

// record reads one row.
func (f *file) record(raw []string) {
	cells := map[string]string{}
	before := len(f.errors)
	for i, cell := range raw {
		name := ""
		if i < len(f.names) {
			name = f.names[i]
		}
		text, err := clean(cell)
		switch {
		case err != nil:
			f.fail(name, err.Error())
		case text == "":
		case name == "":
			f.fail("", "has a cell in column "+plain(float64(i+1))+", which has no name")
		default:
			cells[name] = text
		}
	}
	if len(f.errors) > before || len(cells) == 0 {
		return
	}
	kind := strings.ToLower(cells["row"])
	switch {
	case cells["pack_id"] == "":
		f.fail("pack_id", "is blank; every row needs it")
		return
	case kind == "":
		f.fail("row", "is blank; must be board, count, surface or total")
		return
	case !slices.Contains([]string{rowBoard, rowCount, rowSurface, rowTotal}, kind):
		f.fail("row", "is "+shown(kind)+"; must be board, count, surface or total")
		return
	}
	for _, c := range columns {
		if c.use != ofRow {
			continue
		}
		text, there := cells[c.name], slices.Contains(f.names, c.name)
		other := slices.Contains(inchColumns, c.name) && f.metric || slices.Contains(metricColumns, c.name) && !f.metric
		switch {
		case text != "" && !slices.Contains(c.rows, kind):
			f.fail(c.name, "is "+shown(text)+"; must be blank in a "+kind+" row")
		case text == "" && slices.Contains(c.need, kind) && !other:
			says := "is blank; a " + kind + " row needs it"
			if !there {
				says = "is missing; a " + kind + " row needs it"
			}
			f.fail(c.name, says)
		}
	}
	if len(f.errors) > before {
		return
	}
	f.take(kind, cells)
}
