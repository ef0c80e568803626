package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// object is a YAML mapping whose keys keep the order in which they were set.
type object []member

type member struct {
	key   string
	value any // object, list or a scalar
}

type list []any

// set adds a member, unless its value is nil.
func (o *object) set(key string, value any) {
	if value != nil {
		*o = append(*o, member{key, value})
	}
}

// yaml writes an object. Strings are written as JSON strings, which are valid YAML and
// need no rules for quoting.
func yaml(o object) string {
	var b strings.Builder
	write(&b, o, 0)
	return b.String()
}

func write(b *strings.Builder, v any, depth int) {
	indent := strings.Repeat("  ", depth)
	switch v := v.(type) {
	case object:
		for _, m := range v {
			b.WriteString(indent + key(m.key) + ":")
			value(b, m.value, depth+1)
		}
	case list:
		for _, part := range v {
			b.WriteString(indent + "-")
			value(b, part, depth+1)
		}
	}
}

// value writes what follows a key or a dash.
func value(b *strings.Builder, v any, depth int) {
	switch part := v.(type) {
	case object:
		if len(part) == 0 {
			b.WriteString(" {}\n")
			return
		}
	case list:
		if len(part) == 0 {
			b.WriteString(" []\n")
			return
		}
	default:
		b.WriteString(" " + scalar(v) + "\n")
		return
	}
	b.WriteString("\n")
	write(b, v, depth)
}

// key writes a key, unquoted if it is a plain word.
func key(k string) string {
	if strings.Trim(k, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_") == "" {
		return k
	}
	return scalar(k)
}

func scalar(v any) string {
	if f, ok := v.(float64); ok { // without an exponent, which some YAML readers do not take for a number
		return strconv.FormatFloat(f, 'f', -1, 64)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic(fmt.Sprintf("%T: %v", v, err)) // every value here is a string, a number or a Boolean
	}
	return strings.TrimSpace(b.String())
}
