// Package hard has requests about one board that are within the limits and once took
// more memory or time than a service may give one, as SolveBoard takes them in JSON.
package hard

import "embed"

// Files are the requests.
//
//go:embed *.json
var Files embed.FS
