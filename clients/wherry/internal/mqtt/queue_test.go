package mqtt

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

func opened(t *testing.T, dir string, most, dropped int) *queue {
	t.Helper()
	q, n, err := openQueue(dir, most)
	if err != nil || n != dropped {
		t.Fatalf("%d dropped, want %d: %v", n, dropped, err)
	}
	return q
}

func add(t *testing.T, q *queue, topic string, dropped int) {
	t.Helper()
	if n, err := q.add(message{Topic: topic}); err != nil || n != dropped {
		t.Fatalf("%s: %d dropped, want %d: %v", topic, n, dropped, err)
	}
}

func next(t *testing.T, q *queue, want string) {
	t.Helper()
	n, m, err := q.first()
	if err != nil || m.Topic != want {
		t.Fatalf("%q, want %q: %v", m.Topic, want, err)
	}
	if err := q.sent(n); err != nil {
		t.Fatal(err)
	}
}

// Waiting messages come out in order, survive the process, and never exceed the limit.
func TestQueue(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "queue")
	q := opened(t, dir, 20, 0)
	for i := range 18 { // the sixteenth file has a number of two digits
		add(t, q, fmt.Sprint(i), 0)
	}
	next(t, q, "0")
	q = opened(t, dir, 20, 0)
	next(t, q, "1")
	for i := range 5 {
		add(t, q, fmt.Sprint("more", i), max(0, min(i-3, 1)))
	}
	next(t, q, "3")
	q = opened(t, dir, 2, 17)
	next(t, q, "more3")
	next(t, q, "more4")
	if n, _, err := q.first(); n != 0 || err != nil || q.waiting() != 0 {
		t.Errorf("%d %v", n, err)
	}
	if l, err := os.ReadDir(dir); err != nil || len(l) != 0 {
		t.Errorf("%v %v", l, err)
	}
}

// The oldest may be dropped while it is being sent to the broker.
func TestGoes(t *testing.T) {
	q := opened(t, t.TempDir(), 1, 0)
	add(t, q, "a", 0)
	n, _, err := q.first()
	if err != nil {
		t.Fatal(err)
	}
	add(t, q, "b", 1)
	if err := q.sent(n); err != nil {
		t.Fatal(err)
	}
	next(t, q, "b")
}

// A torn message is reported once, and those after it come.
func TestTorn(t *testing.T) {
	dir := t.TempDir()
	q := opened(t, dir, 9, 0)
	add(t, q, "a", 0)
	add(t, q, "b", 0)
	add(t, q, "c", 0)
	for i, text := range []string{"", `{"Topic":"b","Pay`} {
		if err := os.WriteFile(q.file(uint64(i+1)), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, _, err := q.first(); err == nil {
			t.Error("no error")
		}
	}
	next(t, q, "c")
}

// A message that cannot be written leaves the queue as it was.
func TestUnkept(t *testing.T) {
	dir := t.TempDir()
	q := opened(t, dir, 9, 0)
	add(t, q, "a", 0)
	if err := os.MkdirAll(q.file(2), 0o700); err != nil { // a folder in the way, since root may write anywhere
		t.Fatal(err)
	}
	if _, err := q.add(message{Topic: "b"}); err == nil {
		t.Error("no error")
	}
	add(t, q, "c", 0)
	next(t, q, "a")
	next(t, q, "c")
}
