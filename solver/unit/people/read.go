package people

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
)

// A term is a number and a unit. The number is a mixed fraction (1-3/4, 1 3/4), a
// fraction or a decimal.
const (
	number      = `(?:(\d+)(?:\s*-\s*|\s+)(\d+)\s*/\s*(\d+)|(\d+)\s*/\s*(\d+)|(\d+(?:\.\d*)?|\.\d+))`
	lengthNames = `mm|cm|m|inches|inch|in|feet|foot|ft|lf|''|"|″|'|′`
	timeNames   = `hours|hour|hrs|hr|h|minutes|minute|mins|min|seconds|second|sec|s`
	secondNames = `milliseconds|millisecond|msec|ms|` + timeNames
	areaNames   = `sq\.?\s*(?:m|ft|feet|in|inches)|(?:m|ft|in)(?:\^?2|²)|sqm|sqft|sf`
)

var (
	lengthTerm = regexp.MustCompile(`^\s*` + number + `\s*(?:(?:lineal|linear|lin\.?)\s*)?(` + lengthNames + `)\.?`)
	areaTerm   = regexp.MustCompile(`^\s*` + number + `\s*(` + areaNames + `)`)
	timeTerm   = regexp.MustCompile(`^\s*` + number + `\s*(` + timeNames + `)\.?`)
	secondTerm = regexp.MustCompile(`^\s*` + number + `\s*(` + secondNames + `)\.?`)
	speedTerm  = regexp.MustCompile(`^\s*` + number + `\s*((?:` + lengthNames + `)\.?\s*(?:/|per\s)\s*(?:` + timeNames + `)|fpm)\.?`)
	bare       = regexp.MustCompile(`^\s*` + number + `\s*$`)
	letter     = regexp.MustCompile(`^\pL`)
	comma      = regexp.MustCompile(`\d,\d`)
)

// Units in nanometres and in square micrometres.
var (
	lengthUnits = map[string]int64{
		"mm": 1e6, "cm": 1e7, "m": 1e9,
		"in": inch, "inch": inch, "inches": inch, `"`: inch, "″": inch, "''": inch,
		"ft": foot, "foot": foot, "feet": foot, "'": foot, "′": foot, "lf": foot,
	}
	areaUnits = map[string]int64{
		"m": 1e12, "in": squareInch, "inches": squareInch, "ft": squareFoot, "feet": squareFoot,
	}
)

// Units of time in seconds.
var timeUnits = map[string]int64{
	"h": hour, "hr": hour, "hrs": hour, "hour": hour, "hours": hour,
	"min": minute, "mins": minute, "minute": minute, "minutes": minute,
	"s": 1, "sec": 1, "second": 1, "seconds": 1,
}

// Units of time in milliseconds.
var milliseconds = func() map[string]int64 {
	all := map[string]int64{"ms": 1, "msec": 1, "millisecond": 1, "milliseconds": 1}
	for name, seconds := range timeUnits {
		all[name] = 1000 * seconds
	}
	return all
}()

// Units of speed in nanometres an hour, of which all are whole multiples: a length over a
// time, as in ft/min, or fpm for that.
var speedUnits = func() map[string]int64 {
	all := map[string]int64{"fpm": foot * hour / minute}
	for length, nm := range lengthUnits {
		for time, seconds := range timeUnits {
			all[length+"/"+time] = nm * (hour / seconds)
		}
	}
	return all
}()

const (
	metrePerMinute      = 1_000_000_000 * hour / minute
	millimetrePerSecond = 1_000_000 * hour
)

// A minute is 60 s and an hour 3600 s, exactly: NIST SP 811, section 5.1.1, from
// memory.
const (
	minute = 60
	hour   = 60 * minute
)

// parts are the units that a smaller one may follow, and how many of that make one.
var parts = map[int64]struct {
	size, most int64
	says       string
}{
	foot: {inch, 12, "has 12 inches or more after the feet; write them as feet"},
	hour: {minute, 60, "has 60 minutes or more after the hours; write them as hours"},
}

// NIST SP 811, Appendix B.8: 1 in = 0.0254 m, 1 ft = 0.3048 m, 1 in2 = 6.4516 E-04
// m2 and 1 ft2 = 9.290 304 E-02 m2, all of them exact.
const (
	inch       = 25_400_000
	foot       = 12 * inch
	squareInch = 645_160_000
	squareFoot = 144 * squareInch
)

// longest limits the length of the input, so that no number grows without end.
const longest = 64

func read(text string, term *regexp.Regexp, units map[string]int64, examples string) (*big.Rat, error) {
	if len(text) > longest {
		return nil, fmt.Errorf("%s is too long; write it as %s", quote(text), examples)
	}
	rest, negative := strings.CutPrefix(strings.ToLower(strings.TrimSpace(text)), "-")
	if comma.MatchString(rest) {
		return nil, fmt.Errorf("%s has a comma in its number; write a decimal point and no separators, as in %s", quote(text), examples)
	}
	if m := bare.FindStringSubmatch(rest); m != nil {
		if v, ok := value(m[1:]); ok && v.Sign() == 0 {
			return v, nil
		}
	}
	sum, last := new(big.Rat), int64(0)
	for rest != "" {
		m := term.FindStringSubmatch(rest)
		if m == nil || letter.MatchString(rest[len(m[0]):]) { // mmm is no unit
			return nil, unread(text, rest, examples)
		}
		size := units[unitName(m[7])]
		part := parts[last]
		if last != 0 && size != part.size {
			return nil, fmt.Errorf("%s has units that do not follow each other; write it as %s", quote(text), examples)
		}
		v, ok := value(m[1:7])
		if !ok {
			return nil, fmt.Errorf("%s has a fraction over 0", quote(text))
		}
		if last != 0 && v.Cmp(big.NewRat(part.most, 1)) >= 0 {
			return nil, fmt.Errorf("%s %s", quote(text), part.says)
		}
		sum.Add(sum, v.Mul(v, new(big.Rat).SetInt64(size)))
		last, rest = size, strings.TrimSpace(rest[len(m[0]):])
	}
	if last == 0 {
		return nil, fmt.Errorf("is empty; write it as %s", examples)
	}
	if negative {
		sum.Neg(sum)
	}
	return sum, nil
}

// unread says why the rest of a text could not be read.
func unread(text, rest, examples string) error {
	if bare.MatchString(rest) {
		n := strings.TrimSpace(text)
		switch examples {
		case AreaExamples:
			return fmt.Errorf("%s has no unit; write %sm2 or %s sq ft", quote(text), n, n)
		case TimeExamples:
			return fmt.Errorf("%s has no unit; write %smin or %sh", quote(text), n, n)
		case SecondsExamples:
			return fmt.Errorf("%s has no unit; write %ss or %sms", quote(text), n, n)
		case SpeedExamples:
			return fmt.Errorf("%s has no unit; write %smm/s, %sm/min or %sft/min", quote(text), n, n, n)
		}
		return fmt.Errorf("%s has no unit; write %smm or %sin", quote(text), n, n)
	}
	return fmt.Errorf("%s cannot be read; write it as %s", quote(text), examples)
}

// unitName reduces an area's unit to the length that it is the square of, and writes a
// speed's as length/time; other names stay as they are.
func unitName(name string) string {
	if name == "sf" {
		return "ft"
	}
	if rest, ok := strings.CutPrefix(name, "sq"); ok {
		return strings.TrimLeft(rest, ". \t")
	}
	if over := perTerm.FindStringSubmatch(name); over != nil {
		return over[1] + "/" + over[2]
	}
	return strings.TrimRight(name, "^2²")
}

var perTerm = regexp.MustCompile(`^(\S+?)\.?\s*(?:/|per\s)\s*(\S+)$`)

// value converts the groups of a term to a number: whole and fraction, fraction, or
// decimal. It is false for a fraction over 0.
func value(g []string) (*big.Rat, bool) {
	text := g[5]
	switch {
	case g[0] != "":
		whole, _ := new(big.Rat).SetString(g[0])
		part, ok := new(big.Rat).SetString(g[1] + "/" + g[2])
		if !ok {
			return nil, false
		}
		return whole.Add(whole, part), true
	case g[3] != "":
		text = g[3] + "/" + g[4]
	}
	return new(big.Rat).SetString(strings.TrimSuffix(text, "."))
}
