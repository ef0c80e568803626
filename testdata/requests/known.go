// Package requests draws the worst valid requests, as large and as hard as the published
// limits allow, for programs that observe what the service does with them, and says how
// late their answers may be. The same seed draws the same requests.
package requests

import (
	"fmt"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/cases/hard"
)

// Known gives the requests that once exceeded a limit, as SolveBoard takes them.
func Known() (map[string]*ripwrightv1.SolveBoardRequest, error) {
	all := map[string]*ripwrightv1.SolveBoardRequest{}
	entries, err := hard.Files.ReadDir(".")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		text, err := hard.Files.ReadFile(e.Name())
		if err != nil {
			return nil, err
		}
		m := &ripwrightv1.SolveBoardRequest{}
		if err := protojson.Unmarshal(text, m); err != nil {
			return nil, fmt.Errorf("%s: %w", e.Name(), err)
		}
		all[e.Name()] = m
	}
	return all, nil
}
