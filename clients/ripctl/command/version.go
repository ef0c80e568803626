package command

import (
	"fmt"

	"github.com/spf13/cobra"

	"github.com/ripwright/ripwright/proto/release"
)

func version(t *tool) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Show the version of ripctl",
		Args:  noArgs,
		RunE: func(*cobra.Command, []string) error {
			b := release.Of()
			if t.json {
				_, err := fmt.Fprintf(t.out, "{\"version\":%q,\"revision\":%q,\"go\":%q}\n", b.Version, b.Revision, b.GoVersion)
				return failed(err)
			}
			_, err := fmt.Fprintf(t.out, "ripctl %s\n", b)
			return failed(err)
		},
	}
}
