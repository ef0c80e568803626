package front

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/solver/fault"
)

// enough is the number of faults after which a message is searched no further.
const enough = 100

// diagnose finds by path what is wrong with a body that could not be read as a message.
// The parser itself names at best a field's last name, in a wording that may change. This
// runs only on bodies already refused.
func diagnose(raw []byte, m protoreflect.MessageDescriptor, parser error) fault.List {
	var l fault.List
	if !utf8.Valid(raw) {
		l.Because(fault.NotUTF8, "body", "is not UTF-8; JSON must be")
		return l
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	var whole json.RawMessage
	if err := d.Decode(&whole); err != nil {
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
		l.Add("body", "continues after its end; must be one JSON object")
		return l
	}
	message(&l, "", whole, m)
	if len(l) == 0 {
		l.Add("body", "cannot be read: %s", strings.ReplaceAll(parser.Error(), "\u00a0", " "))
	}
	return l
}

// message walks an object along its descriptor, no deeper than the schema goes.
func message(l *fault.List, path string, raw json.RawMessage, m protoreflect.MessageDescriptor) {
	if kindOf(raw) != '{' {
		l.Because(fault.WrongType, orBody(path), "is %s; must be an object", show(raw))
		return
	}
	seen := map[protoreflect.FieldNumber]string{}
	chosen := map[protoreflect.Name]string{}
	d := json.NewDecoder(bytes.NewReader(raw))
	_, _ = d.Token() // the brace; the whole is known to be well formed
	for d.More() && len(*l) < enough {
		var part json.RawMessage
		key, _ := d.Token()
		if d.Decode(&part) != nil {
			return
		}
		name := fmt.Sprint(key)
		f := m.Fields().ByJSONName(name)
		if f == nil {
			f = m.Fields().ByTextName(name)
		}
		if f == nil {
			l.Because(fault.UnknownField, below(path, name), "is not a field; %s", instead(name, m))
			continue
		}
		at := below(path, f.TextName())
		if before, twice := seen[f.Number()]; twice {
			says := "is given twice; give it once"
			if before != name {
				says = "is given twice, as " + before + " and as " + name + "; give it once"
			}
			l.Add(at, "%s", says)
			continue
		}
		seen[f.Number()] = name
		if kindOf(part) == 'n' {
			continue // null is the same as absent
		}
		if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() {
			if first, both := chosen[o.Name()]; both {
				l.Add(at, "is set together with %s; set only one of them", first)
			}
			chosen[o.Name()] = f.TextName()
		}
		field(l, at, part, f)
	}
}

func field(l *fault.List, path string, raw json.RawMessage, f protoreflect.FieldDescriptor) {
	if !f.IsList() {
		value(l, path, raw, f)
		return
	}
	var list []json.RawMessage
	if kindOf(raw) != '[' || json.Unmarshal(raw, &list) != nil {
		l.Because(fault.WrongType, path, "is %s; must be a list", show(raw))
		return
	}
	for i, entry := range list {
		if len(*l) >= enough {
			return
		}
		value(l, fmt.Sprintf("%s[%d]", path, i), entry, f)
	}
}

func value(l *fault.List, path string, raw json.RawMessage, f protoreflect.FieldDescriptor) {
	if f.Message() != nil {
		message(l, path, raw, f.Message())
	} else if !readable(raw, f) {
		l.Because(unreadable(raw, f), path, "is %s; must be %s", show(raw), wanted(f))
	}
}

// unreadable says why a value does not fit the field.
func unreadable(raw json.RawMessage, f protoreflect.FieldDescriptor) fault.Reason {
	switch text := kindOf(raw) == '"'; {
	case f.Kind() == protoreflect.EnumKind && text:
		return fault.UnknownWord
	case f.Kind() == protoreflect.StringKind, f.Kind() == protoreflect.BoolKind, f.Kind() == protoreflect.EnumKind:
		return fault.WrongType
	}
	if json.Unmarshal(raw, new(json.Number)) != nil || kindOf(raw) == '"' {
		return fault.WrongType
	}
	return fault.OutOfRange // a number, too large or not whole
}

func below(path, field string) string {
	if path == "" {
		return short(field)
	}
	return path + "." + short(field)
}

// short cuts a caller's own name for a field to the length that a path can hold.
func short(field string) string {
	const most = 64
	if field == "" {
		return `""`
	}
	if len(field) > most {
		field = strings.ToValidUTF8(field[:most], "")
	}
	return field
}

func orBody(path string) string {
	if path == "" {
		return "body"
	}
	return path
}
