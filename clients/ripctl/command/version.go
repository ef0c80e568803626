package command

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func version(t *tool) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Say which ripctl this is",
		Args:  noArgs,
		RunE: func(*cobra.Command, []string) error {
			b := build()
			if t.json {
				_, err := fmt.Fprintf(t.out, "{\"version\":%q,\"revision\":%q,\"go\":%q}\n", b.version, b.revision, b.compiler)
				return failed(err)
			}
			_, err := fmt.Fprintf(t.out, "ripctl %s, revision %s, %s\n", b.version, b.revision, b.compiler)
			return failed(err)
		},
	}
}

// built is what Go's build recorded.
type built struct{ version, revision, compiler string }

func build() built {
	b := built{"unknown", "unknown", "unknown"}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	b.compiler = info.GoVersion
	if info.Main.Version != "" {
		b.version = info.Main.Version
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			b.revision = s.Value
		}
	}
	return b
}
