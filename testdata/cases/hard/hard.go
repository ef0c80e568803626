// Package hard has requests about one board that are within the limits and once took more
// memory or time than a service may use, as JSON for SolveBoard.
package hard

import "embed"

// Files are the requests.
//
//go:embed *.json
var Files embed.FS
