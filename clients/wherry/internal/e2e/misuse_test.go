//go:build verify

package e2e

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// says runs wherry until it ends by itself, and gives its output.
func (p *plant) says(command string) (string, error) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.t.Context(), time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, programs.wherry, command, filepath.Join(p.dir, "mapping.yaml")).CombinedOutput()
	if ctx.Err() != nil {
		p.t.Fatalf("%s does not end: %s", command, out)
	}
	return string(out), err
}

// copied copies a plant's mapping with a change, and gives its name.
func (p *plant) copied(from, to string) string {
	p.t.Helper()
	dir := p.t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(p.dir)); err != nil {
		p.t.Fatal(err)
	}
	name := filepath.Join(dir, "mapping.yaml")
	text, err := os.ReadFile(name)
	if err == nil && !strings.Contains(string(text), from) {
		p.t.Fatalf("the mapping has no %q", from)
	}
	if err == nil {
		err = os.WriteFile(name, []byte(strings.Replace(string(text), from, to, 1)), 0o600)
	}
	if err != nil {
		p.t.Fatal(err)
	}
	return dir
}

// A mapping that fits is reported as such; a different PLC, certificates that are expired
// or not trusted, and a ring of another length are each reported, and the connection
// ends.
func TestCheck(t *testing.T) {
	p := newPlant(t, wants{boards: 1, plc: []string{"--hold", "600000"}})
	if out, err := p.says("check"); err != nil || !strings.Contains(out, "the mapping fits the PLC") {
		t.Errorf("%s %v", out, err)
	}
	for name, c := range map[string]struct {
		change func(dir string)
		from   string
		to     string
		want   string
	}{
		"expired":           {func(dir string) { certificate(t, dir, time.Now().Add(-time.Hour)) }, "", "", "valid only from"},
		"not yet":           {func(dir string) { certificate(t, dir, time.Now().Add(72*time.Hour)) }, "", "", "valid only from"},
		"not trusted":       {func(dir string) { certificate(t, dir, time.Now().Add(time.Hour)) }, "", "", "the PLC does not answer"},
		"another PLC":       {func(string) {}, "server_certificate: pki/own/own/certs/certificate.pem", "server_certificate: wherry.pem", "the PLC's certificate is not plc.opcua.server_certificate"},
		"another key":       {func(dir string) { certificate(t, filepath.Join(dir, "pki"), time.Now().Add(time.Hour)) }, "key: wherry.key", "key: pki/wherry.key", ""},
		"a long ring":       {func(string) {}, "slots: 16", "slots: 32", "result_number: s=Hand.result_number has 16 elements; the ring has 32 slots"},
		"no such word":      {func(string) {}, "scan_number: s=Hand.scan_number", "scan_number: s=Hand.scan_numbr", "scan_number: s=Hand.scan_numbr is not on the PLC"},
		"not ours":          {func(string) {}, "plan_number: s=Hand.plan_number", "plan_number: s=Hand.scan_number", "cannot be written with this user's rights"},
		"no such namespace": {func(string) {}, "namespace: urn:plant.example:saw", "namespace: urn:plant.example:plane", `the PLC has no namespace "urn:plant.example:plane"`},
	} {
		dir := p.copied(c.from, c.to)
		c.change(dir)
		other := *p
		other.dir = dir
		if out, err := other.says("check"); err == nil || !strings.Contains(out, c.want) {
			t.Errorf("%s: %s %v", name, out, err)
		}
	}
}

// A second bridge on the same books, or on the same PLC, ends and says so; the first
// continues undisturbed.
func TestSecond(t *testing.T) {
	p := newPlant(t, wants{boards: 60})
	p.start()
	for until := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
		if n, _ := p.plc.has(); n >= 3 {
			break
		}
		if time.Now().After(until) {
			t.Fatal("no boards")
		}
	}
	if out, err := p.says("run"); err == nil || !strings.Contains(out, "the books are in use by another bridge") {
		t.Errorf("%s %v", out, err)
	}
	other := *p
	other.dir = p.copied("books: books", "books: others")
	if out, err := other.says("run"); err == nil || !strings.Contains(out, "another bridge writes to this PLC") {
		t.Errorf("%s %v", out, err)
	}
	if n, _ := p.plc.has(); n >= 55 {
		t.Errorf("%d boards have already left", n)
	}
	p.runs(1, false)
	agree(t, p)
	for reason, n := range p.declined {
		if reason != contract.BadCount.String() {
			t.Errorf("%d boards were declined: %s", n, reason)
		}
	}
}

// A board with a word that does not have good quality is declined, and does not count.
func TestQuality(t *testing.T) {
	p := newPlant(t, wants{boards: 40, plc: []string{"--bad", "far"}})
	p.start()
	p.runs(1, false)
	agree(t, p)
	if n := p.declined["bad quality"]; n == 0 || n == 40 {
		t.Errorf("declined %v", p.declined)
	}
}

// A PLC that loses its memory restarts its numbers, which wrap at 32 bits: none of its
// boards gets the plan of an earlier one, and none is counted as one.
func TestNumbersRestart(t *testing.T) {
	p := newPlant(t, wants{boards: 60, plc: []string{"--from", "4294967290", "--restart", "15"}, lacks: []string{contract.ResultBoot}})
	p.start()
	p.runs(1, false)
	agree(t, p)
	boots, wrapped := map[uint32]bool{}, 0
	for i, c := range p.plc.cuts {
		boots[c.Boot] = true
		if i > 0 && c.Number < p.plc.cuts[i-1].Number && c.Boot == p.plc.cuts[i-1].Boot {
			wrapped++
		}
	}
	if len(boots) != 4 || wrapped != 4 || len(p.plc.cuts) != 60 {
		t.Errorf("%d boots, wrapped %d times, %d boards", len(boots), wrapped, len(p.plc.cuts))
	}
}

// Books whose last record was unfinished when the machine stopped are continued; if a
// finished record is damaged, the bridge does not start.
func TestTornBooks(t *testing.T) {
	p := newPlant(t, wants{boards: 60})
	p.start()
	file := filepath.Join(p.dir, "books", "books")
	torn := 0
	for until := time.Now().Add(time.Minute); torn < 3; time.Sleep(300 * time.Millisecond) {
		if n, done := p.plc.has(); n < 5*(torn+1) && !done {
			if time.Now().After(until) {
				t.Fatal("no boards")
			}
			continue
		}
		p.kill()
		f, err := os.OpenFile(file, os.O_APPEND|os.O_WRONLY, 0o600)
		if err == nil { // a frame of 200 bytes with only four, zeros, half a length
			_, err = f.Write([][]byte{{200, 0, 0, 0, 1, 2, 3, 4, '{', '"', 'P', 'e'}, make([]byte, 512), {9, 0, 0}}[torn])
			err = errors.Join(err, f.Close())
		}
		if err != nil {
			t.Fatal(err)
		}
		torn++
		p.start()
	}
	p.runs(1, false)
	agree(t, p)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text[len(text)/2] ^= 1
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := p.says("run"); err == nil || !strings.Contains(out, "the books are damaged at byte ") {
		t.Errorf("%s %v", out, err)
	}
}

// If the disk is full, the PLC is told that there is no advice, and why; once there is
// room the line continues, and nothing is lost.
func TestFullDisk(t *testing.T) {
	p := newPlant(t, wants{boards: 60, plc: []string{"--hold", "300"}})
	dir := filepath.Join(p.dir, "books")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=8m"); err != nil {
		t.Skipf("SKIPPED: a disk for the books cannot be mounted: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	p.start()
	wait := func(what string, is func() bool) {
		t.Helper()
		for until := time.Now().Add(time.Minute); !is(); time.Sleep(5 * time.Millisecond) {
			if time.Now().After(until) {
				t.Fatal(what)
			}
		}
	}
	left := func() int {
		n, _ := p.plc.has()
		return n
	}
	wait("no boards", func() bool { return left() >= 10 })
	filler := filepath.Join(dir, "filler")
	f, err := os.Create(filler)
	if err != nil {
		t.Fatal(err)
	}
	for err == nil {
		_, err = f.Write(make([]byte, 4096))
	}
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
	at := left()
	wait("the PLC got no answer while the disk was full", func() bool { return left() >= at+8 })
	if err := errors.Join(f.Close(), os.Remove(filler)); err != nil {
		t.Fatal(err)
	}
	p.runs(1, false)
	agree(t, p)
	if p.declined["books fail"] == 0 {
		t.Errorf("declined %v", p.declined)
	}
	accepted := 0
	for _, c := range p.plc.cuts[at+12:] {
		if c.Plan != 0 {
			accepted++
		}
	}
	if accepted == 0 {
		t.Error("no plan was accepted once there was room")
	}
}
