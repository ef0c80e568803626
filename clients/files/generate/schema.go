package main

import (
	"bytes"
	"context"
	"encoding/json"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/clients/files"
	"github.com/ripwright/ripwright/proto/comment"
	"github.com/ripwright/ripwright/proto/limits"
)

// object is a JSON object; encoding/json writes its keys in order.
type object = map[string]any

// generator collects the definitions of one schema.
type generator struct {
	kind     files.Kind
	comments comment.Comments
	defs     object
}

// generate gives the schema of every kind of file by its name. proto is the
// directory of the protobuf schema, whose comments become descriptions.
func generate(ctx context.Context, proto string) (map[string][]byte, error) {
	comments, err := commentsIn(ctx, proto)
	if err != nil {
		return nil, err
	}
	all := map[string][]byte{}
	for _, k := range files.Kinds {
		g := generator{k, comments, object{}}
		one := g.ref(k.Message)
		root := object{
			"$schema": "https://json-schema.org/draft/2020-12/schema",
			"$id":     "urn:ripwright:v1:" + k.Name,
			"title":   "Ripwright " + k.Name, "description": k.About,
		}
		list := object{"type": "array", "items": one, "minItems": 1}
		switch {
		case k.One:
			// Which of the two is told by the type, so that an editor's messages
			// are about the one that was meant.
			root["if"], root["then"], root["else"] = object{"type": "array"}, list, one
		case k.Many:
			for name, v := range list {
				root[name] = v
			}
		default:
			root["$ref"] = one["$ref"]
		}
		root["$defs"] = g.defs
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		if err := enc.Encode(root); err != nil {
			return nil, err
		}
		all[k.Name] = b.Bytes()
	}
	return all, nil
}

// commentsIn gives the comments of the schema and of what files have beside it.
func commentsIn(ctx context.Context, proto string) (comment.Comments, error) {
	all, err := comment.Read(ctx, proto)
	if err != nil {
		return nil, err
	}
	for _, k := range files.Kinds {
		of, differs := k.Origin()
		if !differs {
			continue
		}
		all[k.Message.FullName()] = all[of.FullName()]
		for i := range k.Message.Fields().Len() {
			f := k.Message.Fields().Get(i)
			if from := of.Fields().ByName(f.Name()); from != nil {
				all[f.FullName()] = all[from.FullName()]
			} else {
				all[f.FullName()] = files.BoardComment
			}
		}
	}
	return all, nil
}

// ref gives a reference to a message's definition and makes that.
func (g *generator) ref(m protoreflect.MessageDescriptor) object {
	name := string(m.Name())
	if _, made := g.defs[name]; !made {
		g.defs[name] = object{} // or a message within itself would have no end
		g.defs[name] = g.message(m)
	}
	return object{"$ref": "#/$defs/" + name}
}

func (g *generator) message(m protoreflect.MessageDescriptor) object {
	properties := object{}
	var apart [][2]string // names of which only one may be set
	choices := map[protoreflect.Name][]string{}
	for i := range m.Fields().Len() {
		f := m.Fields().Get(i)
		if _, elsewhere := g.kind.Elsewhere[f.FullName()]; elsewhere {
			continue
		}
		own := []string{f.TextName()}
		properties[f.TextName()] = g.field(f)
		if q, alias := files.QuantityOf(f); q != files.Plain {
			properties[alias] = g.withUnit(f, q)
			apart = append(apart, [2]string{f.TextName(), alias})
			own = append(own, alias)
		}
		if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() {
			for _, other := range choices[o.Name()] {
				for _, n := range own {
					apart = append(apart, [2]string{other, n})
				}
			}
			choices[o.Name()] = append(choices[o.Name()], own...)
		}
	}
	out := object{"type": "object", "description": g.comments[m.FullName()],
		"properties": properties, "additionalProperties": false}
	var not []any
	for _, pair := range apart {
		not = append(not, object{"not": object{"required": []string{pair[0], pair[1]}}})
	}
	if len(not) > 0 {
		out["allOf"] = not
	}
	return out
}

// field describes a field as the protobuf schema has it.
func (g *generator) field(f protoreflect.FieldDescriptor) object {
	if f.Message() != nil && !f.IsList() {
		out := g.ref(f.Message())
		out["description"] = g.comments[f.FullName()]
		return out
	}
	one := object{}
	switch f.Kind() {
	case protoreflect.MessageKind:
		one = g.ref(f.Message())
	case protoreflect.DoubleKind, protoreflect.Int32Kind:
		one["type"] = "number"
		if f.Kind() == protoreflect.Int32Kind {
			one["type"] = "integer"
		}
		if r, ok := limits.Of(f, limits.Numbers); ok {
			least := "minimum"
			if r.Above {
				least = "exclusiveMinimum"
			}
			one[least], one["maximum"] = r.Least, r.Most
		}
	case protoreflect.StringKind:
		one["type"] = "string"
		if r, ok := limits.Of(f, limits.Characters); ok {
			one["minLength"], one["maxLength"] = r.Least, r.Most
		}
	case protoreflect.BoolKind:
		one["type"] = "boolean"
	case protoreflect.EnumKind:
		one["enum"] = words(f.Enum())
	}
	return g.listed(f, one)
}

// words are the values of an enum, people's words first.
func words(e protoreflect.EnumDescriptor) (all []string) {
	for _, say := range []func(protoreflect.EnumValueDescriptor) string{files.Word,
		func(v protoreflect.EnumValueDescriptor) string { return string(v.Name()) }} {
		for i := range e.Values().Len() {
			if v := e.Values().Get(i); v.Number() != 0 {
				all = append(all, say(v))
			}
		}
	}
	return all
}

// Whether a text is a quantity is for the reader to say; the patterns catch what
// has no number or no unit.
var patterns = map[files.Quantity]string{
	files.Length: `^\s*-?[\d.][-\d./\s]*[A-Za-z'"′″]`,
	files.Lineal: `^\s*-?[\d.][-\d./\s]*[A-Za-z'"′″]`,
	files.Area:   `^\s*-?[\d.][-\d./\s]*[A-Za-z]`,
	files.Time:   `^\s*[\d.][-\d./\s]*[A-Za-z]`,
}

var examples = map[files.Quantity][]string{
	files.Length: {"1-3/4in", "44.5mm", "12ft 6in"},
	files.Lineal: {"200 lineal ft", "60m"},
	files.Area:   {"120 sq ft", "1.5m2"},
	files.Time:   {"1h 30min", "45min"},
}

// withUnit describes a field whose value carries its unit.
func (g *generator) withUnit(f protoreflect.FieldDescriptor, q files.Quantity) object {
	return g.listed(f, object{"type": "string", "pattern": patterns[q], "examples": examples[q]})
}

// listed makes a list of what one entry is where the field is one.
func (g *generator) listed(f protoreflect.FieldDescriptor, one object) object {
	out := one
	if f.IsList() {
		out = object{"type": "array", "items": one}
		if r, ok := limits.Of(f, limits.Entries); ok {
			out["minItems"], out["maxItems"] = r.Least, r.Most
		}
	}
	out["description"] = g.comments[f.FullName()]
	return out
}
