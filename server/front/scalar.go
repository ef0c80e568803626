package front

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/dynamicpb"

	"github.com/ripwright/ripwright/proto/limits"
)

// readable reports whether a scalar can be read as a field, or an entry of it. Only the
// parser can tell, so it is given the one value.
func readable(raw json.RawMessage, f protoreflect.FieldDescriptor) bool {
	if kindOf(raw) == 'n' {
		return false
	}
	name, _ := json.Marshal(f.TextName())
	object := append(append([]byte("{"), name...), ':')
	if f.IsList() {
		object = append(append(append(object, '['), raw...), ']')
	} else {
		object = append(object, raw...)
	}
	return protojson.Unmarshal(append(object, '}'), dynamicpb.NewMessage(f.ContainingMessage())) == nil
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
	}
	if g, ok := limits.Of(f, limits.Numbers); ok {
		return g.Wanted()
	}
	return "a number"
}

// kindOf gives the byte that tells the kind of a JSON value.
func kindOf(raw json.RawMessage) byte {
	if raw = bytes.TrimLeft(raw, " \t\r\n"); len(raw) > 0 {
		return raw[0]
	}
	return 0
}

// show describes a JSON value and quotes at most a number of it.
func show(raw json.RawMessage) string {
	const most = 32
	switch kindOf(raw) {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		var s string
		if json.Unmarshal(raw, &s) != nil || len(s) > most {
			return "a long string"
		}
		return fmt.Sprintf("the string %q", s)
	}
	if len(raw) > most {
		return "a long number"
	}
	return string(raw)
}
