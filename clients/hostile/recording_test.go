package hostile

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// recorded is the number of boards with an outcome.
func recorded(t *testing.T, r *replicas.Replica, outcome string) (n int) {
	t.Helper()
	_, after, found := strings.Cut(metrics(t, r.HTTP), fmt.Sprintf("\nripwright_boards_recorded_total{outcome=%q} ", outcome))
	if _, err := fmt.Sscan(after, &n); !found || err != nil {
		t.Fatalf("%s is not counted", outcome)
	}
	return n
}

// until waits for what must come eventually.
func until(t *testing.T, what string, is func() bool) {
	t.Helper()
	for end := time.Now().Add(2 * time.Minute); !is(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal(what)
		}
	}
}

// Recording survives a full disk and a killed process: boards are still answered, the log
// has one line per outage, no record spoils the next, each names its caller, SIGHUP
// reopens the file, and replay skips torn records and reports them.
func TestRecordingOutlivesFullDisk(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		t.Skip("no small disk can be mounted: ", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) }) // otherwise it stays until the machine is shut down
	file := filepath.Join(dir, "boards.jsonl")
	args := []string{"--record", file, "--record-size", "0", "--record-age", "0s"}
	r := serve(t, args...)
	board := func(n int) {
		for range n {
			answer, err := http.Post("http://"+r.HTTP+"/v1/boards:solve", "application/json", strings.NewReader(small))
			if err != nil {
				t.Fatal(err)
			}
			if _ = answer.Body.Close(); answer.StatusCode != http.StatusOK {
				t.Fatal(answer.Status)
			}
		}
	}
	until(t, "the disk is not full", func() bool { board(20); return recorded(t, r, "failed") >= 50 })
	outages := 0
	for _, line := range r.Log() {
		if strings.Contains(line, `"level":"error"`) {
			outages++
		}
	}
	if outages != 1 {
		t.Errorf("%d lines for one outage: %q", outages, r.Log())
	}
	r.Kill()
	// What a power cut leaves, and space again.
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, raw[:len(raw)/2-7], 0o600); err != nil {
		t.Fatal(err)
	}
	r = serve(t, args...)
	board(5)
	until(t, "nothing is recorded after the disk has room again", func() bool { return recorded(t, r, "written") == 5 })
	whole, torn := 0, 0
	if raw, err = os.ReadFile(file); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(raw)) {
		var record struct{ Caller string }
		if json.Unmarshal([]byte(line), &record) != nil {
			torn++
		} else if whole++; record.Caller != "address:127.0.0.1" {
			t.Fatalf("the record's caller is %q", record.Caller)
		}
	}
	if torn != 1 || whole < 10 {
		t.Errorf("%d whole records, %d torn", whole, torn)
	}
	out, err := exec.Command(built(t, "./clients/ripctl"), "--server", r.GRPC, "replay", file).CombinedOutput()
	if err != nil || !strings.Contains(string(out), fmt.Sprintf("line %d", whole-5+1)) {
		t.Errorf("replay: %v %s", err, out)
	}
	if err := os.Rename(file, file+".1"); err != nil {
		t.Fatal(err)
	}
	if err := r.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	until(t, "no new file after SIGHUP", func() bool {
		board(1)
		_, err := os.Stat(file)
		return err == nil
	})
}
