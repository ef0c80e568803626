package secure_test

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/ripwright/ripwright/server/secure"
)

// The token of a line opens live lines, but no planning.
func ExampleLoadTokens() {
	dir, err := os.MkdirTemp("", "")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = os.RemoveAll(dir) }()
	file := filepath.Join(dir, "tokens.yaml")
	if err := os.WriteFile(file, []byte("- {name: line 1, token: example-of-a-long-token, scopes: [line]}\n"), 0o600); err != nil {
		fmt.Println(err)
		return
	}
	tokens, err := secure.LoadTokens(file)
	if err != nil {
		fmt.Println(err)
		return
	}
	const header = "Bearer example-of-a-long-token"
	fmt.Println(tokens.Name(header))
	fmt.Println(tokens.Allow(header, secure.Needs("/ripwright.v1.RipService/RunLine")...))
	fmt.Println(tokens.Allow(header, secure.Needs("/ripwright.v1.PlanningService/PlanValues")...))
	// Output:
	// line 1
	// <nil>
	// the bearer token does not allow this call
}
