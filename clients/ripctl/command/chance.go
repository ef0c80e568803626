package command

import (
	"errors"
	"strconv"
	"strings"
)

// chance is a flag for a number from 0 to 1, which people also write in per cent: 0.9, 90
// % and 90 are the same. A bare number below 50 is not taken as per cent: 3 is a slip.
type chance struct{ of *float64 }

func (c chance) Set(text string) error {
	v, percent, err := partOf(text)
	if err != nil {
		return errors.New("write it as 0.9 or 90%")
	}
	if !percent && v >= 50 {
		v /= 100
	}
	*c.of = v
	return nil
}

func (c chance) String() string {
	if c.of == nil || *c.of == 0 {
		return ""
	}
	return strconv.FormatFloat(*c.of, 'g', -1, 64)
}

func (c chance) Type() string { return "chance" }

// partOf reads a fraction, as a number or in per cent with %, and says which it was.
func partOf(text string) (v float64, percent bool, err error) {
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	v, err = strconv.ParseFloat(strings.TrimSpace(number), 64)
	if percent {
		v /= 100
	}
	return v, percent, err
}
