// Package proto holds the schema of the service. The messages and calls generated from it
// are in ripwright/v1; generate.sh generates them.
package proto

import _ "embed" // for OpenAPI

// OpenAPI describes the JSON interface as an OpenAPI 3 document in YAML.
//
//go:embed openapi.yaml
var OpenAPI []byte
