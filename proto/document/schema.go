package main

import (
	"context"
	"fmt"
	"regexp"
	"strings"

	"google.golang.org/genproto/googleapis/api/annotations"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	"github.com/ripwright/ripwright/proto/comment"
	"github.com/ripwright/ripwright/proto/limits"
)

// schema is all that the documents are made from.
type schema struct {
	comments comment.Comments
	files    []protoreflect.FileDescriptor // in reading order
	services []protoreflect.ServiceDescriptor
	// The messages and enums that occur in requests, in answers, and in either of JSON
	// calls, those at the top included.
	asked, answered, inJSON map[protoreflect.FullName]bool
}

// read reads the schema whose directory is dir.
func read(ctx context.Context, dir string) (*schema, error) {
	s := &schema{asked: map[protoreflect.FullName]bool{}, answered: map[protoreflect.FullName]bool{}, inJSON: map[protoreflect.FullName]bool{}}
	var err error
	if s.comments, err = comment.Read(ctx, dir); err != nil {
		return nil, err
	}
	s.files = limits.Files()
	for _, d := range s.files {
		for i := range d.Services().Len() {
			s.services = append(s.services, d.Services().Get(i))
		}
	}
	// The file of the options is for generators only.
	if all := protoregistry.GlobalFiles.NumFilesByPackage("ripwright.v1") - 1; all != len(s.files) {
		return nil, fmt.Errorf("the schema has %d files and %d have their place in the documents", all, len(s.files))
	}
	for _, m := range s.calls() {
		reach(m.Input(), s.asked)
		reach(m.Output(), s.answered)
		if path(m) != "" {
			reach(m.Input(), s.inJSON)
			reach(m.Output(), s.inJSON)
		}
	}
	return s, nil
}

// calls are the calls of all services in their order.
func (s *schema) calls() (all []protoreflect.MethodDescriptor) {
	for _, service := range s.services {
		for i := range service.Methods().Len() {
			all = append(all, service.Methods().Get(i))
		}
	}
	return all
}

// path is where JSON callers find a call; empty: nowhere. POST takes the whole request as
// its body, GET takes it in the query.
func path(m protoreflect.MethodDescriptor) string {
	rule, _ := proto.GetExtension(m.Options(), annotations.E_Http).(*annotations.HttpRule)
	return rule.GetPost() + rule.GetGet()
}

// verb is the HTTP method of a call that JSON callers can reach.
func verb(m protoreflect.MethodDescriptor) string {
	rule, _ := proto.GetExtension(m.Options(), annotations.E_Http).(*annotations.HttpRule)
	if rule.GetGet() != "" {
		return "get"
	}
	return "post"
}

func reach(m protoreflect.MessageDescriptor, found map[protoreflect.FullName]bool) {
	if found[m.FullName()] {
		return
	}
	found[m.FullName()] = true
	for i := range m.Fields().Len() {
		switch f := m.Fields().Get(i); {
		case f.Message() != nil:
			reach(f.Message(), found)
		case f.Enum() != nil:
			found[f.Enum().FullName()] = true
		}
	}
}

// about is a descriptor's comment, and firstSentence its first sentence.
func (s *schema) about(d protoreflect.Descriptor) string { return s.comments[d.FullName()] }

func firstSentence(text string) string {
	if i := strings.Index(text, ". "); i >= 0 {
		text = text[:i+1]
	}
	return strings.TrimSuffix(strings.SplitN(text, "\n", 2)[0], ".")
}

// needed reports whether the service refuses a request without the field, as a sentence
// of its comment says.
func (s *schema) needed(d protoreflect.Descriptor) bool { return need.MatchString(s.about(d)) }

var need = regexp.MustCompile(`(^|[.)] )Needed[.;]`)

// choices are the fields of a message of which at most one may be set, in groups.
func choices(m protoreflect.MessageDescriptor) (all []protoreflect.OneofDescriptor) {
	for i := range m.Oneofs().Len() {
		if o := m.Oneofs().Get(i); !o.IsSynthetic() {
			all = append(all, o)
		}
	}
	return all
}

// choiceOf is the group that a field belongs to, or nil.
func choiceOf(f protoreflect.FieldDescriptor) protoreflect.OneofDescriptor {
	if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() {
		return o
	}
	return nil
}

// oneOf describes which fields exclude each other.
func (s *schema) oneOf(o protoreflect.OneofDescriptor) string {
	all := make([]string, o.Fields().Len())
	for i := range all {
		all[i] = "`" + string(o.Fields().Get(i).Name()) + "`"
	}
	text := strings.Join(all[:len(all)-1], ", ") + " and " + all[len(all)-1]
	switch {
	case !s.asked[o.Parent().FullName()]:
		return "One of " + text
	case s.needed(o):
		return "Exactly one of " + text
	}
	return "At most one of " + text
}
