package main

import (
	"slices"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/limits"
)

// ref names the schema of a message or enum. A message that occurs in both requests and
// answers has two: a request must have no unknown fields, and an answer of a later
// release has more.
func (s *schema) ref(d protoreflect.Descriptor, inAnswer bool) object {
	return object{{"$ref", "#/components/schemas/" + s.component(d, inAnswer)}}
}

func (s *schema) component(d protoreflect.Descriptor, inAnswer bool) string {
	if _, message := d.(protoreflect.MessageDescriptor); message && inAnswer && s.both(d) {
		return string(d.Name()) + "InAnswer"
	}
	return string(d.Name())
}

// both reports whether a message occurs in requests and in answers.
func (s *schema) both(d protoreflect.Descriptor) bool {
	return s.asked[d.FullName()] && s.answered[d.FullName()]
}

// components are the messages and enums that JSON callers meet, and the body of errors.
func (s *schema) components() object {
	var all object
	for _, file := range s.files {
		for i := range file.Messages().Len() {
			if m := file.Messages().Get(i); s.inJSON[m.FullName()] && !s.inQuery(m) {
				all.set(string(m.Name()), s.message(m, !s.asked[m.FullName()]))
				if s.both(m) {
					all.set(s.component(m, true), s.message(m, true))
				}
			}
		}
		for i := range file.Enums().Len() {
			if e := file.Enums().Get(i); s.inJSON[e.FullName()] {
				all.set(string(e.Name()), s.enum(e))
			}
		}
	}
	all.set("Error", failureSchema)
	return all
}

// inQuery reports whether a message is a request passed in the query.
func (s *schema) inQuery(m protoreflect.MessageDescriptor) bool {
	return slices.ContainsFunc(s.calls(), func(c protoreflect.MethodDescriptor) bool { return c.Input() == m && verb(c) == "get" })
}

func (s *schema) message(m protoreflect.MessageDescriptor, inAnswer bool) object {
	out := object{{"type", "object"}, {"description", s.about(m)}}
	var properties object
	var required list
	for i := range m.Fields().Len() {
		f := m.Fields().Get(i)
		properties.set(string(f.Name()), s.field(f, inAnswer))
		// A request must have its needed fields; an answer always has its plain fields.
		if !inAnswer && s.needed(f) || inAnswer && !f.HasPresence() {
			required = append(required, string(f.Name()))
		}
	}
	if len(properties) > 0 {
		out.set("properties", properties)
	}
	if len(required) > 0 {
		out.set("required", required)
	}
	if inAnswer {
		return out
	}
	if exclude := s.exclude(m); len(exclude) > 0 {
		out.set("allOf", exclude)
	}
	out.set("additionalProperties", false) // the service refuses unknown fields
	return out
}

// exclude says which fields must not be set together, and of which one is needed.
func (s *schema) exclude(m protoreflect.MessageDescriptor) (all list) {
	for _, o := range choices(m) {
		var each list
		for i := range o.Fields().Len() {
			each = append(each, object{{"required", list{string(o.Fields().Get(i).Name())}}})
		}
		if !s.needed(o) {
			each = append(each, object{{"not", object{{"anyOf", each}}}})
		}
		all = append(all, object{{"oneOf", each}})
	}
	return all
}

func (s *schema) enum(e protoreflect.EnumDescriptor) object {
	var values list
	about := s.about(e) + "\n"
	for i := range e.Values().Len() {
		v := e.Values().Get(i)
		values = append(values, string(v.Name()))
		about += "\n- `" + string(v.Name()) + "`: " + s.about(v)
	}
	if !s.asked[e.FullName()] {
		return object{{"description", about + more}, {"anyOf", list{
			object{{"type", "string"}, {"enum", values}}, object{{"type", "string"}}}}}
	}
	return object{{"type", "string"}, {"description", about}, {"enum", values}}
}

// more is added to the words of answers, since a later release has more of them.
const more = "\n\nAccept words that you do not know."

func (s *schema) field(f protoreflect.FieldDescriptor, inAnswer bool) object {
	about := s.about(f)
	if o := choiceOf(f); o != nil {
		about += " " + s.oneOf(o) + "."
	}
	if e := f.Enum(); e != nil && s.asked[e.FullName()] && inAnswer {
		open := object{{"anyOf", list{s.ref(e, true), object{{"type", "string"}}}}}
		if about += more; f.IsList() {
			return object{{"description", about}, {"type", "array"}, {"items", open}}
		}
		return append(object{{"description", about}}, open...)
	}
	out := object{{"description", about}}
	if !f.IsList() {
		return append(out, s.one(f, inAnswer)...)
	}
	out.set("type", "array")
	if r, ok := limits.Of(f, limits.Entries); ok {
		out.set("minItems", r.Least)
		out.set("maxItems", r.Most)
	}
	out.set("items", s.one(f, inAnswer))
	return out
}

// one describes a single value of a field.
func (s *schema) one(f protoreflect.FieldDescriptor, inAnswer bool) (out object) {
	switch f.Kind() {
	case protoreflect.MessageKind:
		return s.ref(f.Message(), inAnswer)
	case protoreflect.EnumKind:
		return s.ref(f.Enum(), inAnswer)
	case protoreflect.BoolKind:
		out.set("type", "boolean")
	case protoreflect.StringKind:
		out.set("type", "string")
		if r, ok := limits.Of(f, limits.Characters); ok {
			out.set("minLength", r.Least)
			out.set("maxLength", r.Most)
		}
	case protoreflect.Int32Kind:
		out.set("type", "integer")
		out.set("format", "int32")
	case protoreflect.DoubleKind:
		out.set("type", "number")
		out.set("format", "double")
	default:
		panic("no description for " + string(f.FullName()) + ", a " + f.Kind().String())
	}
	if r, ok := limits.Of(f, limits.Numbers); ok {
		least := "minimum"
		if r.Above {
			least = "exclusiveMinimum"
		}
		out.set(least, r.Least)
		out.set("maximum", r.Most)
	}
	return out
}
