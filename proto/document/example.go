package main

import (
	"bytes"
	"embed"
	"encoding/json"
	"io"
	"log"
)

// examples are requests that the service accepts as they are, one for each call that has
// a body; answers are its answers to them. TestExamples in server/app sends the examples
// and writes the answers.
//
//go:embed examples/*.json answers/*.json
var examples embed.FS

// example gives a file's content, its keys in the order of the file.
func example(kind, call string) any {
	name := kind + "/" + call + ".json"
	text, err := examples.ReadFile(name)
	if err != nil {
		log.Fatalf("%s has no example: %v", call, err)
	}
	d := json.NewDecoder(bytes.NewReader(text))
	v, err := ordered(d)
	if _, more := d.Token(); err == nil && more != io.EOF {
		log.Fatalf("%s has more than one value", name)
	}
	if err != nil {
		log.Fatalf("%s: %v", name, err)
	}
	return v
}

// ordered reads a value and keeps the order of the keys of objects.
func ordered(d *json.Decoder) (any, error) {
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch t {
	case json.Delim('{'):
		var out object
		for d.More() {
			k, err := d.Token()
			if err != nil {
				return nil, err
			}
			v, err := ordered(d)
			if err != nil {
				return nil, err
			}
			out = append(out, member{k.(string), v})
		}
		_, err := d.Token()
		return out, err
	case json.Delim('['):
		var out list
		for d.More() {
			v, err := ordered(d)
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
		_, err := d.Token()
		return out, err
	}
	return t, nil
}
