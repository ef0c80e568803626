package textfile_test

import (
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/server/textfile"
)

// A file of nothing but opening brackets is refused before it is parsed.
func ExampleYAML() {
	fmt.Println(textfile.YAML([]byte("solves: 2")), textfile.YAML([]byte(strings.Repeat("[", 100_000))) != nil)
	// Output: <nil> true
}
