package fleet_test

import (
	"fmt"
	"strings"

	"github.com/ripwright/ripwright/server/fleet"
)

// A saw file, and what is wrong with another.
func ExampleParse() {
	f, err := fleet.Parse("saws.yaml", []byte(`
- name: dunlin
  kerf: 1/8 in
  step_mm: 0.1
  fence: {min_mm: 0, max_mm: 300}
  blades: [{fixed_mm: 100}, {fixed_mm: 180}]
  min_gap_mm: 30
  min_strip_width_mm: 25
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Names())
	_, err = fleet.Parse("saws.yaml", []byte("- name: dunlin\n  kerf: 3.2\n"))
	fmt.Println(strings.Split(err.Error(), "\n")[0])
	// Output:
	// [dunlin]
	// saws.yaml:2: saws[0].kerf is 3.2 without a unit; write kerf: 3.2mm, or kerf_mm: 3.2
}
