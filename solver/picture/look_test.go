package picture

import (
	"os"
	"path/filepath"
	"testing"
)

// With RIPWRIGHT_PICTURES set to a folder the pictures that the tests draw are written
// there for inspection.
func TestWritePictures(t *testing.T) {
	dir := os.Getenv("RIPWRIGHT_PICTURES")
	if dir == "" {
		t.Skip("RIPWRIGHT_PICTURES names no folder")
	}
	all := cases(t)
	for name, c := range extremes(t) {
		all[name] = c
	}
	for name, c := range all {
		if err := os.WriteFile(filepath.Join(dir, name+".svg"), Draw(&c.p, c.plan, c.o), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
