package file

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/nearest"
)

// reader turns the tree of a file into messages of the schema. It descends only where the
// schema does.
type reader struct {
	file   *File
	kind   *Kind
	faults Faults
	lines  map[string]int // of the message that is read, by path
	at     string         // where in the file the message stands
	offset int            // lines before the document
}

func (r *reader) refuse(line int, path, says string) {
	if r.at != "" && path != "" {
		path = r.at + "." + path
	}
	r.faults = append(r.faults, Fault{r.file.Name, line + r.offset, path, says})
}

func (r *reader) line(n ast.Node) int { return line(n) + r.offset }

// line gives the line on which a node begins.
func line(n ast.Node) int {
	switch m := n.(type) {
	case *ast.DocumentNode:
		if m.Body == nil { // a body would have the token
			if m.Start == nil {
				return 1
			}
			return m.Start.Position.Line
		}
	case *ast.MappingNode:
		if len(m.Values) > 0 && !m.IsFlowStyle {
			n = m.Values[0].Key // the mapping's own token is its first colon
		}
	case *ast.MappingValueNode:
		n = m.Key
	}
	if t := n.GetToken(); t != nil {
		return t.Position.Line
	}
	return 1
}

// entries gives the fields of a mapping.
func entries(n ast.Node) ([]*ast.MappingValueNode, bool) {
	switch m := n.(type) {
	case *ast.MappingNode:
		return m.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{m}, true
	}
	return nil, false
}

func (r *reader) message(path string, n ast.Node, m protoreflect.Message) {
	d := m.Descriptor()
	fields, ok := entries(n)
	if !ok {
		r.refuse(line(n), path, "is "+kind(n)+"; must have the fields "+strings.Join(r.kind.names(d), ", "))
		return
	}
	set := map[string]string{} // what was set, a oneof by its own name
	for _, entry := range fields {
		key := entry.Key.String()
		if s, ok := entry.Key.(*ast.StringNode); ok {
			key = s.Value // without quotes
		}
		f, withUnit := find(d, key)
		if f == nil {
			says := "is not a field; fields are " + strings.Join(r.kind.names(d), ", ")
			if near := nearest.Name(key, r.kind.names(d)); near != "" {
				says = "is not a field; write " + near
			}
			if instead := r.kind.Instead[key]; instead != "" {
				says = "is not a field; " + instead
			}
			r.refuse(line(entry.Key), join(path, key), says)
			continue
		}
		if from, elsewhere := r.kind.Elsewhere[f.FullName()]; elsewhere {
			r.refuse(line(entry.Key), join(path, key), "is not a field of this file; give it with "+from)
			continue
		}
		at := join(path, f.TextName())
		r.lines[at] = r.line(entry.Key)
		choice := f.TextName()
		if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() {
			choice = "oneof " + string(o.Name())
		}
		if first, both := set[choice]; both {
			r.refuse(line(entry.Key), join(path, key), "is set together with "+first+"; set only one of them")
			continue
		}
		set[choice] = key
		r.field(join(path, key), at, entry.Value, f, withUnit, m)
	}
}

// field reads the value of a field: shown is its name in the file, path its path in the
// service.
func (r *reader) field(shown, path string, n ast.Node, f protoreflect.FieldDescriptor, withUnit bool, m protoreflect.Message) {
	if !f.IsList() {
		if f.Message() != nil {
			r.message(path, n, m.Mutable(f).Message())
		} else if v, ok := r.value(shown, n, f, withUnit); ok {
			m.Set(f, v)
		}
		return
	}
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		r.refuse(line(n), shown, "is "+kind(n)+"; must be a list")
		return
	}
	values := m.Mutable(f).List()
	for i, n := range list.Values {
		at := fmt.Sprintf("%s[%d]", path, i)
		r.lines[at] = r.line(n)
		if f.Message() != nil {
			e := values.NewElement()
			r.message(at, n, e.Message())
			values.Append(e)
		} else if v, ok := r.value(fmt.Sprintf("%s[%d]", shown, i), n, f, withUnit); ok {
			values.Append(v)
		}
	}
}

func join(path, field string) string {
	if path == "" {
		return field
	}
	return path + "." + field
}
