// Command document publishes the schema for people and programs that do not read
// protobuf: openapi.yaml, the JSON interface as an OpenAPI description, and REFERENCE.md.
// Both are made from the schema's descriptors, its comments and the limits that the
// service publishes. Run it in proto; make generate does so.
package main

import (
	"context"
	"log"
	"os"
)

func main() {
	log.SetFlags(0)
	s, err := read(context.Background(), ".")
	if err != nil {
		log.Fatal(err)
	}
	for name, text := range map[string]string{"openapi.yaml": s.openAPI(), "REFERENCE.md": s.reference()} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			log.Fatal(err)
		}
	}
}
