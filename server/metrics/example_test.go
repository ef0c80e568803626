package metrics_test

import (
	"fmt"
	"time"

	"github.com/ripwright/ripwright/server/metrics"
)

// A token file that could not be read again is counted, on a registry that is passed
// around.
func ExampleNew() {
	m := metrics.New(time.Now)
	m.Reads("tokens")
	m.Reloaded("tokens", false)
	all, err := m.Registry.Gather()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range all {
		if f.GetName() == "ripwright_file_reloads_total" {
			for _, c := range f.GetMetric() {
				if n := c.GetCounter().GetValue(); n > 0 {
					fmt.Println(c.GetLabel()[1].GetValue(), n)
				}
			}
		}
	}
	// Output: refused 1
}
