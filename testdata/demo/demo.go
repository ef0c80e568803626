// Package demo holds the invented mill of this folder, for programs that show the service
// in use. See README.md in it.
package demo

import _ "embed" // for go:embed

// The files of the folder, unchanged.
var (
	//go:embed saws.json
	Saws []byte // a list of ripwright.v1.Saw
	//go:embed order.json
	Order []byte // a ripwright.v1.CutOrder
	//go:embed boards.jsonl
	Boards []byte // one ripwright.v1.Board per line
)
