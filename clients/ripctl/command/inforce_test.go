package command

import (
	"strings"
	"testing"
)

// What a service has in force, by its own word and by its metrics; what is wrong with
// the address is said.
func TestStatus(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, about("solve")...) // so that there is something to count
	if out == "" {
		t.Fatal("nothing solved")
	}
	out, _ = b.run(t, 0, "status", "--metrics", "http://"+b.web+"/metrics")
	for _, want := range []string{"release unreleased, requests up to 4194304 bytes", "heron   377406a4aa26dc30ee2c5db9", "plover  ",
		"open lines                 0", "boards waiting             0", "plans withheld             0", "files refused              0", "revision "} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	if out, _ = b.run(t, 0, "status", "--json"); !strings.Contains(out, `"features":["saw_by_name"`) || !strings.Contains(out, `"arbor_fingerprint":"377406a4aa26dc30ee2c5db9"`) {
		t.Error(out)
	}
	if _, errs := b.run(t, statusServer, "status", "--metrics", "http://"+b.web+"/nothing"); !strings.Contains(errs, "404") {
		t.Error(errs)
	}
	if _, errs := b.run(t, statusServer, "status", "--metrics", "http://"+b.web+"/v1/saws"); !strings.Contains(errs, "is no metrics") {
		t.Error(errs)
	}
}
