package fleet_test

import (
	"fmt"

	"github.com/ripwright/ripwright/server/fleet"
)

// A saw file, and what is wrong with another.
func ExampleParse() {
	f, err := fleet.Parse([]byte(`
- name: dunlin
  kerf_mm: 3.2
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
	_, err = fleet.Parse([]byte("- name: dunlin\n  kerf: 3.2\n"))
	fmt.Println(err != nil)
	// Output:
	// [dunlin]
	// true
}
