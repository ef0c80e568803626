// Package comment reads the comments of the schema, which the generated Go code does not
// carry, for the generators that use them and their tests.
package comment

import (
	"context"
	"path/filepath"
	"strings"

	"github.com/bufbuild/protocompile"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// Comments are the comments of services, calls, messages, fields, oneofs, enums and their
// values, by full name. Each paragraph is one line.
type Comments map[protoreflect.FullName]string

// Read reads the comments of every file of ripwright.v1. dir is the directory of
// the schema, this package's parent.
func Read(ctx context.Context, dir string) (Comments, error) {
	paths, err := filepath.Glob(filepath.Join(dir, "ripwright", "v1", "*.proto"))
	if err != nil {
		return nil, err
	}
	for i, p := range paths {
		paths[i] = "ripwright/v1/" + filepath.Base(p)
	}
	c := protocompile.Compiler{
		Resolver: protocompile.WithStandardImports(&protocompile.SourceResolver{
			ImportPaths: []string{dir, filepath.Join(dir, "third_party")},
		}),
		SourceInfoMode: protocompile.SourceInfoStandard,
	}
	files, err := c.Compile(ctx, paths...)
	if err != nil {
		return nil, err
	}
	all := Comments{}
	for _, file := range files {
		all.add(file)
	}
	return all, nil
}

func (all Comments) add(file protoreflect.FileDescriptor) {
	say := func(d protoreflect.Descriptor) {
		all[d.FullName()] = paragraphs(file.SourceLocations().ByDescriptor(d).LeadingComments)
	}
	for i := range file.Services().Len() {
		s := file.Services().Get(i)
		say(s)
		for j := range s.Methods().Len() {
			say(s.Methods().Get(j))
		}
	}
	for i := range file.Messages().Len() {
		m := file.Messages().Get(i)
		say(m)
		for j := range m.Fields().Len() {
			say(m.Fields().Get(j))
		}
		for j := range m.Oneofs().Len() {
			say(m.Oneofs().Get(j))
		}
	}
	for i := range file.Enums().Len() {
		e := file.Enums().Get(i)
		say(e)
		for j := range e.Values().Len() {
			say(e.Values().Get(j))
		}
	}
}

func paragraphs(text string) string {
	parts := strings.Split(text, "\n\n")
	for i, p := range parts {
		parts[i] = strings.Join(strings.Fields(p), " ")
	}
	return strings.TrimSpace(strings.Join(parts, "\n"))
}
