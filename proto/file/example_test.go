package file_test

import (
	"fmt"

	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A list of two saws, one of them with a fault: the other can still be read.
func ExampleRead() {
	const text = `
- {name: dunlin, kerf: 1/8 in, fence: {min: 0mm, max: 12in}}
- {name: knot, kerf_mm: 1/8 in}
`
	f, err := file.Read("saws.yaml", []byte(text), file.Saws)
	fmt.Println(err)
	var saw ripwrightv1.Saw
	if err := f.Into(0, &saw); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(saw.GetKerfMm(), saw.GetFence().GetMaxMm(), f.Messages[1] == nil)
	// Output:
	// saws.yaml:3: saws[1].kerf_mm is the text "1/8 in"; must be a number. With a unit write kerf: 1/8 in
	// 3.175 304.8 true
}
