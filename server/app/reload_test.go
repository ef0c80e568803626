package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A saw file that changes while the server runs is read again, both without a request and
// on Reload; a faulty one leaves the saws as they were, and the metrics show it.
func TestSawFileIsReadAnew(t *testing.T) {
	noLeaks(t)
	file := filepath.Join(t.TempDir(), "saws.yaml")
	write := func(name, fence string) {
		t.Helper()
		text := "- name: " + name + "\n  kerf_mm: 3\n  step_mm: 0.5\n  min_gap_mm: 40\n  min_strip_width_mm: 30\n" +
			"  fence: " + fence + "\n  blades: [{fixed_mm: 60}, {fixed_mm: 130}]\n"
		// Renamed into place whole: it may be read at any moment.
		if err := os.WriteFile(file+".new", []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(file+".new", file); err != nil {
			t.Fatal(err)
		}
	}
	write("plover", "{max_mm: 100}")
	r := run(t, loopback(Config{Drain: 5 * time.Second, Saws: file, Poll: 5 * time.Millisecond}))
	conn := dial(t, r.GRPC())
	client := ripwrightv1.NewRipServiceClient(conn)
	defer func() {
		_ = conn.Close()
		r.stop()
		if err := <-r.ended; err != nil {
			t.Error(err)
		}
	}()
	solve := func(saw string) codes.Code {
		m := request(t)
		m.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: saw}
		_, err := client.SolveBoard(t.Context(), m)
		return status.Code(err)
	}
	if a, b := solve("plover"), solve("heron"); a != codes.OK || b != codes.NotFound {
		t.Errorf("at first plover %v, heron %v", a, b)
	}
	write("heron", "{max_mm: 100}")
	until(t, "the new saw", func() bool { return solve("heron") == codes.OK })
	if a := solve("plover"); a != codes.NotFound {
		t.Errorf("plover is still there: %v", a)
	}
	write("plover", "{max_mm: -1}")
	r.Reload()
	if a, b := solve("plover"), solve("heron"); a != codes.NotFound || b != codes.OK {
		t.Errorf("after a bad file plover %v, heron %v", a, b)
	}
	_, text := get(t, r.App, "/metrics")
	for _, outcome := range []string{"loaded", "refused"} { // how often depends on which of the two saw the change first
		count := `ripwright_saw_file_reloads_total{outcome="` + outcome + `"} `
		if !strings.Contains(text, count) || strings.Contains(text, count+"0") {
			t.Errorf("no reload is counted as %s", outcome)
		}
	}
}
