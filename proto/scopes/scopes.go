// Package scopes gives the scopes that the calls of the schema need, from its option of
// that name.
package scopes

import (
	"slices"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Of lists the scopes of which a call needs one.
func Of(m protoreflect.MethodDescriptor) []string {
	all, _ := proto.GetExtension(m.Options(), ripwrightv1.E_Scopes).([]string)
	return slices.Clone(all)
}

// All gives the scopes of every call of the schema, by its full method name.
func All() map[string][]string {
	all := map[string][]string{}
	protoregistry.GlobalFiles.RangeFilesByPackage(ripwrightv1.File_ripwright_v1_takes_proto.Package(), func(f protoreflect.FileDescriptor) bool {
		for i := range f.Services().Len() {
			s := f.Services().Get(i)
			for j := range s.Methods().Len() {
				m := s.Methods().Get(j)
				all["/"+string(s.FullName())+"/"+string(m.Name())] = Of(m)
			}
		}
		return true
	})
	return all
}
