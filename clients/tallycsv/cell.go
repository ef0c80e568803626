package tallycsv

import (
	"fmt"
	"math/big"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxCell limits a cell, in bytes; names have at most 128 characters.
const maxCell = 1024

// clean gives a cell's text without surrounding spaces and without the apostrophe that
// keeps a spreadsheet from taking it for a formula.
func clean(cell string) (string, error) {
	switch {
	case len(cell) > maxCell:
		return "", fmt.Errorf("has %d bytes; at most %d are taken", len(cell), maxCell)
	case !utf8.ValidString(cell):
		return "", fmt.Errorf("is not UTF-8")
	case strings.ContainsFunc(strings.TrimSpace(cell), unicode.IsControl):
		return "", fmt.Errorf("has a line break or another control character in it")
	}
	return strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(cell), "'")), nil
}

// guard is the inverse of clean.
func guard(text string) string {
	if text != "" && strings.ContainsRune("=+-@'", rune(text[0])) {
		return "'" + text
	}
	return text
}

var (
	decimal  = regexp.MustCompile(`^-?[0-9]{1,15}(\.[0-9]+)?$`)
	fraction = regexp.MustCompile(`^(-?[0-9]{1,9})(?:(?: +|-)([0-9]{1,9}))?/([0-9]{1,9})$`)
	another  = regexp.MustCompile(`^-?[0-9][0-9 ./-]*\s*[\p{L}"'′″]+\.?$`)
)

// number reads a decimal or a fraction, which may follow a whole number after a space or,
// as is common practice, a hyphen.
func number(cell string) (float64, error) {
	if decimal.MatchString(cell) {
		v, err := strconv.ParseFloat(cell, 64)
		return v, err
	}
	if m := fraction.FindStringSubmatch(cell); m != nil {
		whole, top := "0", m[1]
		if m[2] != "" {
			whole, top = m[1], m[2]
		}
		r, ok := new(big.Rat).SetString(top + "/" + m[3])
		if !ok {
			return 0, fmt.Errorf("is %q, a fraction over 0", cell)
		}
		w, _ := new(big.Rat).SetString(whole)
		if strings.HasPrefix(whole, "-") {
			r.Neg(r)
		}
		v, _ := r.Add(r, w).Float64()
		return v, nil
	}
	switch {
	case another.MatchString(cell):
		return 0, fmt.Errorf("is %q; must be a number without a unit; the unit is in the column's name", shown(cell))
	case strings.Contains(cell, ","):
		return 0, fmt.Errorf("is %q; must have a decimal point and no other separator", shown(cell))
	}
	return 0, fmt.Errorf("is %q; must be a number such as 6.25, 25/4, 6 1/4 or 6-1/4", shown(cell))
}

// shown shortens a cell to fit a message.
func shown(cell string) string {
	if r := []rune(cell); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return cell
}

// plain writes a number so that number reads it back unchanged.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
