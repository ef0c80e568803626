// Package frozen holds the promises of the last release: the schema as a descriptor
// image, which buf compares with the current schema, and the OpenAPI description and the
// published limits, which this package's tests compare with the current ones.
// COMPATIBILITY.md says what may change.
package frozen
