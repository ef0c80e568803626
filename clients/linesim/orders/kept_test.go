package orders

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The result of a quote is known after an interruption, and is not repeated; other quotes
// are made. A line that was not finished is made again.
func TestNotes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notes")
	estimate := &ripwrightv1.Estimate{Mean: 100.1, Lower: 90, Upper: 1.0 / 3}
	want := &kept{quoted: []*ripwrightv1.Estimate{estimate, estimate, estimate, estimate}, cut: []float64{1, 2, 3, 4e-17}, boards: 5, unproven: 6}
	failed := errors.New("failed")
	made := 0
	try := func(at trialled, fails error) (*kept, error) {
		t.Helper()
		n, err := openNotes(path)
		if err != nil {
			t.Fatal(err)
		}
		k, err := n.of(at, func() (*kept, error) { made++; return want, fails })
		if e := n.close(); e != nil {
			t.Fatal(e)
		}
		return k, err
	}
	a, b := trialled{Kind: 3, Seed: 1 << 63, Simulations: 19, Every: 25}, trialled{Kind: 3, Seed: 1 << 63, Simulations: 39, Every: 25}
	if _, err := try(a, failed); !errors.Is(err, failed) {
		t.Error(err)
	}
	for i, c := range []struct {
		of   trialled
		made int
	}{{a, 2}, {a, 2}, {b, 3}, {a, 3}, {b, 3}} {
		k, err := try(c.of, nil)
		if err != nil || made != c.made || !reflect.DeepEqual(k.cut, want.cut) || k.boards != 5 || k.unproven != 6 || len(k.quoted) != 4 || k.quoted[2].GetUpper() != 1.0/3 {
			t.Errorf("quote %d: made %d times: %+v, %v", i, made, k, err)
		}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, text[:len(text)-3], 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := try(a, nil); err != nil || made != 3 {
		t.Errorf("made %d times: %v", made, err)
	}
	if _, err := try(b, nil); err != nil || made != 4 {
		t.Errorf("made %d times: %v", made, err)
	}
	if again, err := os.ReadFile(path); err != nil || string(again) != string(text) {
		t.Errorf("file is %q, want %q: %v", again, text, err)
	}
	if err := os.WriteFile(path, []byte(string(text)+"{}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := openNotes(path); err == nil || !strings.Contains(err.Error(), "line 3") {
		t.Error(err)
	}
}
