package fleet

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/dynamicpb"
)

// reader turns the tree of a saw file into what protojson reads, along the
// schema, and keeps the line of every field. It descends only where the schema
// does, so no file can make it go on for ever.
type reader struct {
	faults Faults
	lines  map[string]int // by path
}

func (r *reader) fault(path, says string, args ...any) {
	r.faults = append(r.faults, Fault{Line: r.lineOf(path), Path: path, Says: fmt.Sprintf(says, args...)})
}

// lineOf gives the line of a field or, where it is missing, of what it is
// missing in.
func (r *reader) lineOf(path string) int {
	for {
		if n, ok := r.lines[path]; ok {
			return n
		}
		i := strings.LastIndexAny(path, ".[")
		if i < 0 {
			return 1
		}
		path = path[:i]
	}
}

func (r *reader) message(path string, n ast.Node, m protoreflect.MessageDescriptor) map[string]any {
	mapping, ok := n.(*ast.MappingNode)
	if !ok {
		r.fault(path, "is %s; must have the fields %s", kind(n), fields(m))
		return nil
	}
	out, chosen := map[string]any{}, map[protoreflect.Name]string{}
	for _, entry := range mapping.Values {
		key := entry.Key.String()
		if s, ok := entry.Key.(*ast.StringNode); ok {
			key = s.Value // without quotes
		}
		f := m.Fields().ByTextName(key)
		if f == nil {
			f = m.Fields().ByJSONName(key)
		}
		if f == nil {
			at := path + "." + key
			r.lines[at] = line(entry.Key)
			r.fault(at, "is not a field; there are %s", fields(m))
			continue
		}
		at := path + "." + f.TextName()
		_, twice := r.lines[at]
		r.lines[at] = line(entry.Key)
		if twice {
			r.fault(at, "is set twice")
		}
		if o := f.ContainingOneof(); o != nil && !o.IsSynthetic() {
			if first, both := chosen[o.Name()]; both {
				r.fault(at, "is set beside %s; only one of them may be", first)
			}
			chosen[o.Name()] = f.TextName()
		}
		out[f.TextName()] = r.field(at, entry.Value, f)
	}
	return out
}

func (r *reader) field(path string, n ast.Node, f protoreflect.FieldDescriptor) any {
	if !f.IsList() {
		return r.value(path, n, f)
	}
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		r.fault(path, "is %s; must be a list", kind(n))
		return nil
	}
	out := make([]any, len(list.Values))
	for i, v := range list.Values {
		at := fmt.Sprintf("%s[%d]", path, i)
		r.lines[at] = line(v)
		out[i] = r.value(at, v, f)
	}
	return out
}

func (r *reader) value(path string, n ast.Node, f protoreflect.FieldDescriptor) any {
	if f.Message() != nil {
		return r.message(path, n, f.Message())
	}
	v, ok := scalar(n)
	if !ok {
		r.fault(path, "is %s; must be %s", kind(n), wanted(f))
		return nil
	}
	if x, ok := v.(float64); ok && (math.IsInf(x, 0) || math.IsNaN(x)) {
		r.fault(path, "is %v; must be %s", x, wanted(f))
		return nil
	}
	// Whether the field takes it is protojson's to say.
	one := v
	if f.IsList() {
		one = []any{v}
	}
	raw, err := json.Marshal(map[string]any{f.TextName(): one})
	if err != nil || v == nil || protojson.Unmarshal(raw, dynamicpb.NewMessage(f.ContainingMessage())) != nil {
		r.fault(path, "is %s; must be %s", kind(n), wanted(f))
	}
	return v
}

// line gives the line on which a node begins.
func line(n ast.Node) int {
	if m, ok := n.(*ast.MappingNode); ok && len(m.Values) > 0 && !m.IsFlowStyle {
		n = m.Values[0].Key // its own token is the first colon or dash
	}
	if t := n.GetToken(); t != nil {
		return t.Position.Line
	}
	return 1
}

func fields(m protoreflect.MessageDescriptor) string {
	names := make([]string, m.Fields().Len())
	for i := range names {
		names[i] = m.Fields().Get(i).TextName()
	}
	return strings.Join(names, ", ")
}

// wanted describes what a scalar field of a saw takes.
func wanted(f protoreflect.FieldDescriptor) string {
	if f.Kind() == protoreflect.StringKind {
		return "text, in quotes where it looks like something else"
	}
	return "a number"
}

// scalar gives the value of a plain scalar. Anchors, aliases and tags would pass
// for scalars as well.
func scalar(n ast.Node) (any, bool) {
	switch n := n.(type) {
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode, *ast.MergeKeyNode:
		return nil, false
	case ast.ScalarNode:
		return n.GetValue(), true
	}
	return nil, false
}

// kind describes what stands in the file.
func kind(n ast.Node) string {
	switch n.(type) {
	case *ast.NullNode:
		return "empty"
	case *ast.MappingNode:
		return "a group of fields"
	case *ast.SequenceNode:
		return "a list"
	}
	v, ok := scalar(n)
	if text, is := v.(string); is {
		return fmt.Sprintf("the text %q", text)
	} else if ok {
		return fmt.Sprint(v)
	}
	return "an anchor, an alias or a tag, which a saw file has no use for"
}
