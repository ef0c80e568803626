// Package demo holds the invented mill of this folder, for programs that show
// the service at work. See README.md beside it.
package demo

import _ "embed" // for what follows

// The files of the folder as they are.
var (
	//go:embed saws.json
	Saws []byte // a list of ripwright.v1.Saw
	//go:embed order.json
	Order []byte // a ripwright.v1.CutOrder
	//go:embed boards.jsonl
	Boards []byte // a ripwright.v1.Board a line
)
