package config

import (
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"time"

	"github.com/knadh/koanf/v2"
)

// delimiter of nested keys; no key is nested, and no setting's name holds one.
const delimiter = "/"

// layer is one source of settings.
type layer struct {
	*koanf.Koanf
	in   string                   // before every name, if the name alone does not tell the source
	show func(name string) string // how this source writes a setting's name
}

// called gives a setting's name with its source.
func (l *layer) called(name string) string { return l.in + l.show(name) }

// take puts what the layer sets into the configuration and returns its faults: settings
// in the order of their table, then unknown names.
//
// koanf's own decoding into a struct is not used: it ignores unknown keys as soon as a
// known one has a wrong value.
func (l *Loaded) take(from layer) (faults Faults) {
	values := from.Raw()
	known := make([]string, len(settings))
	for i, s := range settings {
		known[i] = s.name
		v, set := values[s.name]
		if !set {
			continue
		}
		delete(values, s.name)
		l.from[s.name] = from.called(s.name)
		if put(l.field(s.name), v) != nil || !s.ok(&l.Config) {
			faults.add(from.called(s.name), "is %s; must be %s", quote(v), s.must)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		faults.add(from.called(name), "is not a setting%s", suggest(name, known, from.show))
	}
	return faults
}

// put sets a field to a value, which is text if it comes from a flag or a variable. It
// refuses values that only seem to fit: a time without a unit, a fraction.
func put(field reflect.Value, v any) (err error) {
	text, isText := v.(string)
	switch p := field.Addr().Interface().(type) {
	case *string:
		if *p = text; !isText {
			err = errors.New("not text")
		}
	case *time.Duration:
		*p, err = time.ParseDuration(fmt.Sprint(v)) // of bare numbers it takes 0 alone
	case *bool:
		*p, err = strconv.ParseBool(fmt.Sprint(v))
	case *float64:
		*p, err = strconv.ParseFloat(fmt.Sprint(v), 64)
	case *int:
		*p, err = strconv.Atoi(fmt.Sprint(v))
	default:
		panic("config: no way to set a " + field.Type().String())
	}
	return err
}

func quote(v any) string {
	switch v := v.(type) {
	case nil:
		return "empty"
	case string:
		return strconv.Quote(v)
	}
	return fmt.Sprint(v)
}
