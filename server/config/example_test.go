package config_test

import (
	"fmt"

	"github.com/ripwright/ripwright/server/config"
)

// Settings from the command line and the environment; the command line outranks the
// environment.
func ExampleCall_Load() {
	c, err := config.ParseArgs([]string{"--solves", "2"})
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := c.Load([]string{"RIPWRIGHT_SOLVES=4", "RIPWRIGHT_HTTP=127.0.0.1:8000"})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(l.Solves, l.HTTP)
	// Output: 2 127.0.0.1:8000
}
