package front

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/dynamicpb"

	"github.com/ripwright/ripwright/solver/fault"
)

// diagnose says by path what is wrong with a body that could not be read as a
// message. The parser itself names at best a field's last name, in a wording
// that it does not keep. This runs only on what was refused already.
func diagnose(raw []byte, m protoreflect.MessageDescriptor, parser error) fault.List {
	var l fault.List
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		var syntax *json.SyntaxError
		switch {
		case errors.As(err, &syntax):
			l.Add("body", "is not JSON: %v at byte %d", syntax, syntax.Offset)
		default:
			l.Add("body", "is not JSON: it ends too early")
		}
		return l
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		l.Add("body", "goes on after its end; must be one JSON object")
		return l
	}
	message(&l, "", v, m)
	if len(l) == 0 {
		// For instance a field that is there twice.
		l.Add("body", "cannot be read: %s", strings.ReplaceAll(parser.Error(), "\u00a0", " "))
	}
	return l
}

func message(l *fault.List, path string, v any, m protoreflect.MessageDescriptor) {
	object, ok := v.(map[string]any)
	if !ok {
		l.Add(orBody(path), "is %s; must be an object", kind(v))
		return
	}
	chosen := map[protoreflect.Name]string{}
	for _, key := range slices.Sorted(maps.Keys(object)) {
		f := m.Fields().ByJSONName(key)
		if f == nil {
			f = m.Fields().ByTextName(key)
		}
		if f == nil {
			l.Add(below(path, key), "is not a field; there are %s", fields(m))
			continue
		}
		at, part := below(path, f.TextName()), object[key]
		if part == nil {
			continue // null is the same as absent
		}
		if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() {
			if first, both := chosen[o.Name()]; both {
				l.Add(at, "is set beside %s; only one of them may be", first)
			}
			chosen[o.Name()] = f.TextName()
		}
		if !f.IsList() {
			value(l, at, part, f)
			continue
		}
		list, ok := part.([]any)
		if !ok {
			l.Add(at, "is %s; must be a list", kind(part))
		}
		for i, entry := range list {
			value(l, fmt.Sprintf("%s[%d]", at, i), entry, f)
		}
	}
}

func value(l *fault.List, path string, v any, f protoreflect.FieldDescriptor) {
	if f.Message() != nil {
		message(l, path, v, f.Message())
		return
	}
	// Whether a scalar can be read is the parser's to say.
	entry := v
	if f.IsList() {
		entry = []any{v}
	}
	raw, err := json.Marshal(map[string]any{f.TextName(): entry})
	if err == nil && v != nil && protojson.Unmarshal(raw, dynamicpb.NewMessage(f.ContainingMessage())) == nil {
		return
	}
	l.Add(path, "is %s; must be %s", kind(v), wanted(f))
}

// wanted describes what a scalar field takes.
func wanted(f protoreflect.FieldDescriptor) string {
	switch f.Kind() {
	case protoreflect.EnumKind:
		vs := f.Enum().Values()
		names := make([]string, vs.Len())
		for i := range names {
			names[i] = string(vs.Get(i).Name())
		}
		return "one of " + strings.Join(names, ", ")
	case protoreflect.BoolKind:
		return "true or false"
	case protoreflect.StringKind:
		return "a string"
	case protoreflect.Int32Kind:
		return "a whole number that fits 32 bits"
	}
	return "a number"
}

// kind describes a JSON value without quoting more than a number of it.
func kind(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case bool:
		return fmt.Sprint(v)
	case json.Number:
		if len(v) > 32 {
			return "a long number"
		}
		return v.String()
	case string:
		if len(v) > 32 {
			return "a long string"
		}
		return fmt.Sprintf("the string %q", v)
	case []any:
		return "a list"
	}
	return "an object"
}

func fields(m protoreflect.MessageDescriptor) string {
	names := make([]string, m.Fields().Len())
	for i := range names {
		names[i] = m.Fields().Get(i).TextName()
	}
	return strings.Join(names, ", ")
}

func below(path, field string) string {
	if len(field) > 64 {
		field = field[:64]
	}
	field = strings.ToValidUTF8(field, "")
	if path == "" {
		return field
	}
	return path + "." + field
}

func orBody(path string) string {
	if path == "" {
		return "body"
	}
	return path
}
