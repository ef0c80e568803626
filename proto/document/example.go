package main

import (
	"bytes"
	"embed"
	"encoding/json"
	"io"
	"log"
)

// examples are requests that the service takes as it comes, one for each call that
// has a body.
//
//go:embed examples/*.json
var examples embed.FS

// example gives that of a call, nil where it has none. Its keys stand as they do in
// the file.
func example(call string) any {
	text, err := examples.ReadFile("examples/" + call + ".json")
	if err != nil {
		return nil
	}
	d := json.NewDecoder(bytes.NewReader(text))
	v, err := ordered(d)
	if _, more := d.Token(); err == nil && more != io.EOF {
		log.Fatalf("examples/%s.json has more than one value", call)
	}
	if err != nil {
		log.Fatalf("examples/%s.json: %v", call, err)
	}
	return v
}

// ordered reads a value, with the keys of objects in their order.
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
