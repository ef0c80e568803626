package fleet

import (
	"encoding/json"
	"errors"
	"fmt"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/textfile"
	"github.com/ripwright/ripwright/server/wire"
)

// Parse reads a saw file: a list of ripwright.v1.Saw messages in YAML or JSON,
// each with a name of its own, with the schema's own field names or
// lowerCamelCase. The error is a Faults with all that is wrong.
func Parse(file []byte) (*Fleet, error) {
	list, err := root(file)
	if err != nil {
		return nil, err
	}
	r := reader{lines: map[string]int{}}
	f := &Fleet{saws: make(map[string]*wire.Machine, len(list.Values))}
	first := map[string]int{} // the line of each name
	for i, node := range list.Values {
		path := fmt.Sprintf("saws[%d]", i)
		r.lines[path] = line(node)
		m, ok := r.saw(path, node)
		if !ok {
			continue
		}
		switch name := m.GetName(); {
		case name == "":
			r.fault(path+".name", "is empty; callers ask for a saw by its name")
		case first[name] != 0:
			r.fault(path+".name", "is %q, as on line %d; must be a name of its own", name, first[name])
		default:
			first[name] = r.lineOf(path + ".name")
		}
		s, wrong := wire.Saw(m)
		for _, w := range wrong {
			r.fault(path+"."+w.Path, "%s", w.Says)
		}
		f.saws[m.GetName()] = &s
	}
	if len(r.faults) > 0 {
		r.faults.sort()
		return nil, r.faults
	}
	return f, nil
}

// saw reads one saw; false if that found faults.
func (r *reader) saw(path string, node ast.Node) (*ripwrightv1.Saw, bool) {
	m, before := &ripwrightv1.Saw{}, len(r.faults)
	object := r.message(path, node, m.ProtoReflect().Descriptor())
	if len(r.faults) > before {
		return nil, false
	}
	raw, err := json.Marshal(object)
	if err == nil {
		err = protojson.Unmarshal(raw, m)
	}
	if err != nil { // the reader has looked at every field, so this is not expected
		r.fault(path, "cannot be read: %v", err)
	}
	return m, err == nil
}

// root gives the list that a saw file is.
func root(file []byte) (*ast.SequenceNode, error) {
	var deep textfile.Deep
	if err := textfile.YAML(file); errors.As(err, &deep) {
		return nil, Faults{{Line: deep.Line, Says: deep.Says()}}
	}
	// Of anchors and aliases the reader tells where they are; it resolves none.
	tree, err := parser.ParseBytes(file, 0)
	if err != nil {
		var at yaml.Error
		if errors.As(err, &at) {
			return nil, Faults{{Line: at.GetToken().Position.Line, Says: at.GetMessage()}}
		}
		return nil, Faults{{Line: 1, Says: err.Error()}}
	}
	if len(tree.Docs) > 1 {
		return nil, Faults{{Line: line(tree.Docs[1]), Says: "a second document begins; must be one list of saws"}}
	}
	if len(tree.Docs) == 0 || tree.Docs[0].Body == nil {
		return nil, Faults{{Line: 1, Says: "the file is empty; must be a list of saws"}}
	}
	list, ok := tree.Docs[0].Body.(*ast.SequenceNode)
	if !ok {
		return nil, Faults{{Line: line(tree.Docs[0].Body), Says: "must be a list of saws, each beginning with a dash"}}
	}
	if len(list.Values) == 0 {
		// More likely a slip than the wish for a service that knows no saw.
		return nil, Faults{{Line: line(list), Says: "the list is empty; must have at least one saw"}}
	}
	return list, nil
}
