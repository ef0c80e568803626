// Command generate writes the published limits of requests as Go constants, for the
// solver: it does not know the schema, but takes what the schema publishes. All limits are
// written, so that nothing lists which of them the solver uses. Run it in proto; make
// generate does so.
package main

import (
	"log"
	"os"

	"github.com/ripwright/ripwright/proto/limits"
)

// constants is where they are written.
const constants = "../solver/internal/published/published.go"

func main() {
	log.SetFlags(0)
	text, err := written(limits.All)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(constants, text, 0o644); err != nil {
		log.Fatal(err)
	}
}
