package file

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/dynamicpb"
)

// File is the content of a file.
type File struct {
	Name string
	// Messages are what it holds: one, or as many as its list has. Those with a fault are
	// nil.
	Messages []*dynamicpb.Message
	// lines has the line of every field, by message and path.
	lines []map[string]int
}

// Line gives the line of a field of the i-th message or, if the field is missing, the
// line of what should hold it.
func (f *File) Line(i int, path string) int {
	for {
		if n, ok := f.lines[i][path]; ok {
			return n
		}
		at := strings.LastIndexAny(path, ".[")
		if at < 0 {
			return f.lines[i][""]
		}
		path = path[:at]
	}
}

// Into copies the i-th message into m, which must be of the same kind.
func (f *File) Into(i int, m proto.Message) error {
	raw, err := proto.Marshal(f.Messages[i])
	if err != nil {
		return err
	}
	return proto.Unmarshal(raw, m)
}

// Read reads the text of a file. A name that ends in .jsonl says that every line is a
// separate message. The error is a Faults; what could be read is returned with it.
func Read(name string, text []byte, k Kind) (*File, error) {
	r := &reader{file: &File{Name: name}, kind: &k}
	if !k.Many && jsonLines(text) {
		r.refuse(2, "", "begins a second object; "+k.wanted())
		return r.file, r.faults
	}
	if k.Many && (strings.HasSuffix(name, ".jsonl") || jsonLines(text)) {
		for i, line := range bytes.Split(text, []byte("\n")) {
			if len(bytes.TrimSpace(line)) > 0 {
				r.offset = i
				r.document(line)
			}
		}
	} else {
		r.document(text)
	}
	if len(r.faults) == 0 && len(r.file.Messages) == 0 {
		r.faults = append(r.faults, Fault{name, 1, "", "holds nothing; " + k.wanted()})
	}
	if len(r.faults) > 0 {
		return r.file, r.faults
	}
	return r.file, nil
}

// jsonLines detects JSON lines: their second line is an object too.
func jsonLines(text []byte) bool {
	lines := bytes.SplitN(bytes.TrimSpace(text), []byte("\n"), 3)
	return len(lines) > 1 && bytes.HasPrefix(lines[0], []byte(`{"`)) && bytes.HasPrefix(lines[1], []byte(`{"`))
}

func (r *reader) document(text []byte) {
	k := r.kind
	tree, err := parser.ParseBytes(text, 0)
	if err != nil {
		var at yaml.Error
		if errors.As(err, &at) && at.GetToken() != nil {
			r.refuse(at.GetToken().Position.Line, "", "is not YAML: "+at.GetMessage())
			return
		}
		r.refuse(1, "", "is not YAML: "+err.Error())
		return
	}
	if len(tree.Docs) > 1 {
		r.refuse(line(tree.Docs[1]), "", "begins a second document; put it into a file of its own")
		return
	}
	if len(tree.Docs) == 0 || tree.Docs[0].Body == nil {
		return
	}
	body := tree.Docs[0].Body
	list, isList := body.(*ast.SequenceNode)
	switch {
	case isList && k.Many:
		for i, n := range list.Values {
			r.one(fmt.Sprintf("%s[%d]", k.Name, i), n, k.Message)
		}
	case isList, k.Many && !k.One && !isList && r.offset == 0 && !bytes.HasPrefix(text, []byte(`{"`)):
		r.refuse(line(body), "", k.wanted())
	default:
		r.one("", body, k.Message)
	}
}

// one reads one message of the file.
func (r *reader) one(at string, n ast.Node, d protoreflect.MessageDescriptor) {
	r.lines = map[string]int{"": r.line(n)}
	r.at = at
	m, before := dynamicpb.NewMessage(d), len(r.faults)
	if r.message("", n, m); len(r.faults) > before {
		m = nil
	}
	r.file.Messages = append(r.file.Messages, m)
	r.file.lines = append(r.file.lines, r.lines)
}
