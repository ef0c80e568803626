// Command generate writes the JSON Schema of every kind of file into
// clients/files/schema, from the protobuf schema's fields, comments and published limits.
// Run it in clients/files; go generate and make generate run it.
package main

import (
	"context"
	"log"
	"os"
	"path/filepath"

	"github.com/ripwright/ripwright/clients/files"
)

func main() {
	log.SetFlags(0)
	all, err := generate(context.Background(), filepath.Join("..", "..", "proto"))
	if err != nil {
		log.Fatal(err)
	}
	for _, k := range files.Kinds {
		if err := os.WriteFile(filepath.Join("schema", k.Name+".schema.json"), all[k.Name], 0o644); err != nil {
			log.Fatal(err)
		}
	}
}
