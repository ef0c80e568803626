package command_test

import (
	"context"
	"fmt"
	"os"
	"strings"

	"github.com/ripwright/ripwright/clients/ripctl/command"
)

// A mistyped command: the nearest command is suggested, and the exit status is that of a
// usage error.
func ExampleRun() {
	status := command.Run(context.Background(), []string{"slove"}, strings.NewReader(""), os.Stdout, os.Stdout)
	fmt.Println(status)
	// Output:
	// ripctl: there is no command "slove"; write ripctl solve
	// 2
}
