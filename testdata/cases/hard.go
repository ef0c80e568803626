package cases

import "github.com/ripwright/ripwright/testdata/cases/hard"

// Hard gives the requests that once took more memory or time than the limits, by name.
func Hard() ([]Case, error) { return in(hard.Files, "*.json") }
