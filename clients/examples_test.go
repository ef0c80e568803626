package clients

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// noExample gives the reasons why packages that others could import have no example.
var noExample = map[string]string{
	"clients/linesim/orders": "measures the project itself: go run ./clients/linesim runs it",
}

// Every package that another program can import shows its main use in an example whose
// output is checked.
func TestEveryPackageHasAnExample(t *testing.T) {
	packages, examples := exported(t, "..")
	if len(packages) < 60 {
		t.Fatalf("only %d packages have exported names", len(packages))
	}
	for _, p := range packages {
		if _, none := noExample[p]; none == examples[p] {
			t.Errorf("%s: has an example with checked output: %v", p, examples[p])
		}
	}
	for p := range noExample {
		if !slices.Contains(packages, p) {
			t.Errorf("%s has no exported names", p)
		}
	}
}

// exported lists the packages below a folder that others can import, by their folders,
// and those of them with an example with output.
func exported(t *testing.T, root string) (packages []string, examples map[string]bool) {
	t.Helper()
	examples = map[string]bool{}
	if err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		at, _ := filepath.Rel(root, path)
		at = filepath.ToSlash(at)
		if d.IsDir() {
			if slices.Contains(append(made, "internal", "testdata", "out"), d.Name()) || at != "." && strings.HasPrefix(d.Name(), ".") || at == "clients/wherry" {
				return fs.SkipDir // others cannot import it
			}
			return nil
		}
		if !strings.HasSuffix(at, ".go") {
			return nil
		}
		folder, test := filepath.ToSlash(filepath.Dir(at)), strings.HasSuffix(at, "_test.go")
		if test && examples[folder] || !test && slices.Contains(packages, folder) {
			return nil // known already
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		switch {
		case test:
			examples[folder] = slices.ContainsFunc(doc.Examples(f), func(e *doc.Example) bool { return e.Output != "" })
		case f.Name.Name != "main" && ast.FileExports(f) && len(f.Decls) > 0:
			packages = append(packages, folder)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return packages, examples
}
