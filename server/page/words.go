package page

import (
	"encoding/json"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// fileKinds are the files that people may drop on the page, with the message of an entry.
var fileKinds = map[string]proto.Message{
	"board": &ripwrightv1.Board{}, "saw": &ripwrightv1.Saw{}, "order": &ripwrightv1.CutOrder{}, "lumber": &ripwrightv1.Lumber{},
}

// word is what the page needs to know about a field to read it from a file as package
// file does.
type word struct {
	JSON     string            `json:"json"`               // its JSON name, which files may have too
	Alias    string            `json:"alias,omitempty"`    // its name if the value carries the unit
	Quantity file.Quantity     `json:"quantity,omitempty"` // what the unit is of
	Message  string            `json:"message,omitempty"`  // what it holds
	Words    map[string]string `json:"words,omitempty"`    // values of an enum by their short names
}

// wordsJSON gives the page the fields of everything that files hold: {"kinds": {kind:
// message}, "messages": {message: {field: word}}}. So the page's reader has no table that
// could differ from the schema.
func wordsJSON() ([]byte, error) {
	kinds, messages := map[string]string{}, byMessage[word]{}
	for name, m := range fileKinds {
		d := m.ProtoReflect().Descriptor()
		kinds[name] = string(d.Name())
		messages.add(d, wordOf)
	}
	return json.Marshal(map[string]any{"kinds": kinds, "messages": messages})
}

func wordOf(f protoreflect.FieldDescriptor) word {
	w := word{JSON: f.JSONName()}
	w.Quantity, w.Alias = file.QuantityOf(f)
	if m := f.Message(); m != nil {
		w.Message = string(m.Name())
	}
	if e := f.Enum(); e != nil {
		w.Words = map[string]string{}
		for k := range e.Values().Len() {
			if v := e.Values().Get(k); v.Number() != 0 {
				w.Words[file.Word(v)] = string(v.Name())
			}
		}
	}
	return w
}
