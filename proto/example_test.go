package proto_test

import (
	"fmt"

	yaml "github.com/goccy/go-yaml"

	"github.com/ripwright/ripwright/proto"
)

// A program reads the description of the JSON interface.
func Example() {
	var doc struct {
		OpenAPI string         `yaml:"openapi"`
		Paths   map[string]any `yaml:"paths"`
	}
	if err := yaml.Unmarshal(proto.OpenAPI, &doc); err != nil {
		fmt.Println(err)
		return
	}
	_, solve := doc.Paths["/v1/boards:solve"]
	fmt.Println(doc.OpenAPI, solve)
	// Output: 3.1.0 true
}
