package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"
	"go.uber.org/zap/zaptest/observer"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// linesOf counts the lines of a file, whole and torn.
func linesOf(t *testing.T, path string) (whole, torn int) {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for l := range bytes.Lines(raw) {
		switch l = bytes.TrimSpace(l); {
		case json.Valid(l):
			whole++
		case len(l) > 0:
			torn++
		}
	}
	return whole, torn
}

// filling is a file whose disk is full for a while: it takes half a record.
type filling struct {
	handle
	full *bool
}

func (f filling) Write(p []byte) (int, error) {
	if *f.full {
		n, _ := f.handle.Write(p[:len(p)/2])
		return n, errors.New("no space left on device")
	}
	return f.handle.Write(p)
}

// A record torn by a full disk spoils none of those after it, however the writer ended,
// and an outage is two lines in the log, however many boards it costs.
func TestTornRecord(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boards.jsonl")
	if err := os.WriteFile(path, []byte(`{"time":"2026-01-02T03:04:05Z","requ`), 0o600); err != nil { // a power cut
		t.Fatal(err)
	}
	core, logged := observer.New(zap.InfoLevel)
	r, err := Open(Config{File: File{Path: path}, Log: zap.New(core), Metric: prometheus.NewRegistry(), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	r.Close()
	full := false
	f := newFile(File{Path: path}, time.Now)
	under := f.open
	f.open = func(p string) (handle, error) {
		h, err := under(p)
		return filling{h, &full}, err
	}
	board := func(n int) {
		r.out, r.lines, r.done, r.closed = f, make(chan line, waiting), make(chan struct{}), false
		go r.write()
		for range n {
			r.Board(`token:"saw" 3`, &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{})
		}
		r.Close()
	}
	board(2)
	full = true
	board(5)
	full = false
	board(3)
	if whole, torn := linesOf(t, path); whole != 5 || torn < 2 {
		t.Errorf("%d records whole, %d torn", whole, torn)
	}
	if r.count("failed") != 5 || r.count("written") != 5 {
		t.Errorf("%g failed, %g written", r.count("failed"), r.count("written"))
	}
	raw, _ := os.ReadFile(path)
	if !strings.Contains(string(raw), `"caller":"token:\"saw\" 3"`) {
		t.Errorf("the record lacks the caller: %s", raw)
	}
	var said []string
	for _, e := range logged.All() {
		said = append(said, e.Message)
	}
	if len(said) != 1 {
		t.Errorf("the log has %q", said)
	}
}

// An outage is one line at its start and one at its end.
func TestOutage(t *testing.T) {
	core, logged := observer.New(zap.InfoLevel)
	var o outage
	for _, err := range []error{nil, errors.New("full"), errors.New("full"), errors.New("full"), nil, nil} {
		o.note(zap.New(core), err)
	}
	all := logged.All()
	if len(all) != 2 || all[0].Level != zap.ErrorLevel || all[1].ContextMap()["lost"] != int64(3) {
		t.Errorf("%v", all)
	}
}

// A file is set aside by size and by age, its age outlives the process, and only the
// newest of those set aside are kept. Other files beside them stay.
func TestSetAside(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "boards.jsonl")
	other := path + ".notes"
	if err := os.WriteFile(other, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 3, 1, 6, 0, 0, 0, time.UTC)
	write := func(f *file, n int) {
		t.Helper()
		for range n {
			record, err := encode(line{at: now, asked: &ripwrightv1.SolveBoardRequest{}, answer: &ripwrightv1.SolveBoardResponse{}})
			if err == nil {
				_, err = f.Write(record)
			}
			if err != nil || f.aside != nil {
				t.Fatal(err, f.aside)
			}
			now = now.Add(time.Second)
		}
	}
	aside := func() int {
		all, err := filepath.Glob(path + ".2*")
		if err != nil {
			t.Fatal(err)
		}
		return len(all)
	}
	clock := func() time.Time { return now }
	f := newFile(File{Path: path, Age: time.Hour}, clock)
	write(f, 3)
	now = now.Add(30 * time.Minute)
	_ = f.Close()
	f = newFile(File{Path: path, Age: time.Hour, Keep: 2}, clock) // the process starts again
	write(f, 1)
	if whole, _ := linesOf(t, path); whole != 4 || aside() != 0 {
		t.Errorf("%d records, %d files aside after half an hour", whole, aside())
	}
	now = now.Add(31 * time.Minute)
	write(f, 1)
	if whole, _ := linesOf(t, path); whole != 1 || aside() != 1 {
		t.Errorf("%d records, %d files aside after an hour", whole, aside())
	}
	f.cfg.Size = 150 // two records
	write(f, 9)
	_ = f.Close()
	if whole, torn := linesOf(t, path); whole > 2 || torn != 0 || aside() != 2 {
		t.Errorf("%d records, %d torn, %d files aside", whole, torn, aside())
	}
	if _, err := os.Stat(other); err != nil {
		t.Error(err)
	}
}

// If a file cannot be set aside, recording continues in it.
func TestCannotSetAside(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boards.jsonl")
	f := newFile(File{Path: path, Size: 40}, time.Now)
	if _, err := f.Write([]byte(`{"n":1,"filled":"up to the size"}` + "\n")); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(path); err != nil { // nothing to rename
		t.Fatal(err)
	}
	if _, err := f.Write([]byte(`{"n":2,"filled":"up to the size"}` + "\n")); err != nil || f.aside == nil {
		t.Fatal(err, f.aside)
	}
	_ = f.Close()
	if whole, torn := linesOf(t, path); whole != 1 || torn != 0 {
		t.Errorf("%d whole, %d torn", whole, torn)
	}
}

// After the file was moved away, Reopen begins it again under its name.
func TestReopen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boards.jsonl")
	r, err := Open(Config{File: File{Path: path}, Log: zap.NewNop(), Metric: prometheus.NewRegistry(), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	r.Board("a", &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{})
	for r.count("written") < 1 {
		time.Sleep(time.Millisecond)
	}
	if err := os.Rename(path, path+".moved"); err != nil {
		t.Fatal(err)
	}
	r.Reopen()
	r.Board("b", &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{})
	r.Close()
	for p, by := range map[string]string{path: `"caller":"b"`, path + ".moved": `"caller":"a"`} {
		raw, err := os.ReadFile(p)
		if err != nil || strings.Count(string(raw), "\n") != 1 || !strings.Contains(string(raw), by) {
			t.Errorf("%s: %q %v", p, raw, err)
		}
	}
}
