// Package release says what a program was built from. Its builder can set that with the
// linker, as the release script and the Dockerfile do, since a source archive has no
// history to read it from:
//
//	-ldflags "-X github.com/ripwright/ripwright/proto/release.version=v0.1.0
//	          -X github.com/ripwright/ripwright/proto/release.revision=4f0c..."
//
// What is not set is as Go's build recorded it.
package release

import (
	"fmt"
	"runtime/debug"
	"strings"
)

var version, revision string

// Unreleased is the version of a program that was not built from a release.
const Unreleased = "unreleased"

// Build is what a program was built from.
type Build struct {
	Version   string // v0.1.0, or Unreleased
	Revision  string // of the source, or "unknown"
	GoVersion string
}

// Of gives this program's build.
func Of() Build {
	b := Build{Version: version, Revision: revision, GoVersion: "unknown"}
	if info, ok := debug.ReadBuildInfo(); ok {
		b.GoVersion = info.GoVersion
		if b.Version == "" && strings.HasPrefix(info.Main.Version, "v") {
			b.Version = info.Main.Version
		}
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" && b.Revision == "" {
				b.Revision = s.Value
			}
		}
	}
	if b.Version == "" {
		b.Version = Unreleased
	}
	if b.Revision == "" {
		b.Revision = "unknown"
	}
	return b
}

// String is one line for people.
func (b Build) String() string {
	return fmt.Sprintf("%s, revision %s, %s", b.Version, b.Revision, b.GoVersion)
}
