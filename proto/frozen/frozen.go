// Package frozen holds what the last release promised: the schema as a descriptor
// image, which buf compares with the schema, the OpenAPI description and the
// published limits, which this package's test compares with those of today. What
// may change and what not stands in COMPATIBILITY.md.
package frozen
