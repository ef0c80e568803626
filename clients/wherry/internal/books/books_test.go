package books

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"syscall"
	"testing"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func board(n uint32) handover.Board { return handover.Board{Boot: 9, Number: n} }

// steps are what a line writes, one record each.
var steps = []func(*Books) error{
	func(b *Books) error { return b.asks(1, Message{}) },
	func(b *Books) error { return b.hears(1, "one", false) },
	func(b *Books) error { x := board(5); return b.asks(2, Message{Board: &x}) },
	func(b *Books) error { return b.hears(2, "two", true) },
	func(b *Books) error {
		return b.Take(9, 1, Result{Board: board(5), Plan: 5, Outcome: contract.AsMeasured, Widths: []float64{55.2, 0}})
	},
	func(b *Books) error { x := board(5); return b.asks(3, Message{Result: &x}) },
	func(b *Books) error { return b.hears(3, "three", false) },
	func(b *Books) error { x := board(6); return b.asks(4, Message{Board: &x}) },
	func(b *Books) error { return b.hears(4, "four", true) },
	func(b *Books) error { return b.Drop(board(6)) },
}

func (b *Books) asks(n int32, of Message) error {
	b.For(of)
	return b.Pending(&ripwrightv1.RunLineRequest{Sequence: n, Message: &ripwrightv1.RunLineRequest_Board{
		Board: &ripwrightv1.LineBoard{Board: &ripwrightv1.Board{BoardId: "b"}}}})
}

func (b *Books) hears(n int32, state string, plan bool) error {
	a := &ripwrightv1.RunLineResponse{Sequence: n, State: []byte(state)}
	if plan {
		a.Answer = &ripwrightv1.RunLineResponse_Plan{Plan: &ripwrightv1.LinePlan{BoardId: "b"}}
	}
	m, err := b.Message()
	if err != nil {
		return err
	}
	return b.Answered(m, a)
}

func open(t *testing.T, dir string) *Books {
	t.Helper()
	b, err := Open(dir, "run")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = b.Close() })
	return b
}

// A machine that stops at any byte leaves books with everything that was written whole,
// from which a line can continue; also if the file was extended before its content was
// written.
func TestTornAnywhere(t *testing.T) {
	dir := t.TempDir()
	b := open(t, dir)
	ends, says := []int64{b.size}, []Content{b.Content}
	for i, s := range steps {
		if err := s(b); err != nil {
			t.Fatal(i, err)
		}
		ends, says = append(ends, b.size), append(says, copied(t, b.Content))
	}
	if len(b.Boards) > 0 || b.Sequence != 4 || b.Taken != 1 || len(b.Results) > 0 {
		t.Errorf("%+v", b.Content)
	}
	all, err := os.ReadFile(filepath.Join(dir, "books"))
	if err != nil {
		t.Fatal(err)
	}
	k := 0
	for n := ends[0]; n <= int64(len(all)); n++ {
		for k+1 < len(ends) && ends[k+1] <= n {
			k++
		}
		for _, tail := range []string{"", "\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"} {
			if tail != "" && n != ends[k] {
				continue // zeros within an unfinished record: its checksum is wrong, at the end
			}
			torn := t.TempDir()
			if err := os.WriteFile(filepath.Join(torn, "books"), append(all[:n:n], tail...), 0o600); err != nil {
				t.Fatal(err)
			}
			b, err := Open(torn, "run")
			if err != nil {
				t.Fatalf("at byte %d: %v", n, err)
			}
			if !same(b.Content, says[k]) {
				t.Fatalf("at byte %d: %+v, want %+v", n, b.Content, says[k])
			}
			if n%29 == 0 || n == ends[k] { // each is synced to disk, which takes time
				if err := b.Drop(board(1)); err != nil {
					t.Fatal(err)
				}
			}
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
			b, err = Open(torn, "run")
			if err != nil {
				t.Fatalf("reopened after a record at byte %d: %v", n, err)
			}
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
		}
	}
	// Damage is not an unfinished end: the records after it were promised.
	all[ends[2]+9] ^= 1
	hurt := t.TempDir()
	if err := os.WriteFile(filepath.Join(hurt, "books"), all, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(hurt, "run"); !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "at byte ") {
		t.Error(err)
	}
}

// same reports whether two contents are equal.
func same(a, b Content) bool {
	x, errX := json.Marshal(record{Whole: &a})
	y, errY := json.Marshal(record{Whole: &b})
	empty := strings.NewReplacer(":null", ":[]")
	return errX == nil && errY == nil && empty.Replace(string(x)) == empty.Replace(string(y))
}

// copied passes through the file's form, so that an empty list becomes nil.
func copied(t *testing.T, c Content) Content {
	t.Helper()
	b := Books{path: filepath.Join(t.TempDir(), "books"), Content: c}
	if err := b.rewrite(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = b.f.Close() }()
	again := Books{path: b.path}
	if err := again.open(c.Run); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = again.f.Close() }()
	x := again.Content
	if len(x.Boards) == 0 {
		x.Boards = nil
	}
	if len(x.Results) == 0 {
		x.Results = nil
	}
	return x
}

// Books that have grown are rewritten with the same content.
func TestRewritten(t *testing.T) {
	dir := t.TempDir()
	b := open(t, dir)
	b.most = 600
	for _, s := range steps[:9] {
		if err := s(b); err != nil {
			t.Fatal(err)
		}
	}
	want := copied(t, b.Content)
	if b.size > 1600 {
		t.Errorf("the books have %d bytes, want at most 1600", b.size)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if again := open(t, dir); !reflect.DeepEqual(copied(t, again.Content), want) {
		t.Errorf("%+v, want %+v", again.Content, want)
	}
}

// Only one bridge has the books; those of another run or format are refused.
func TestWhoseBooks(t *testing.T) {
	dir := t.TempDir()
	b := open(t, dir)
	if _, err := Open(dir, "run"); !errors.Is(err, ErrInUse) {
		t.Error(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, "another"); err == nil || !strings.Contains(err.Error(), `belong to run "run", not "another"`) {
		t.Error(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "books"), []byte("wherry books 7\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, "run"); !errors.Is(err, ErrFormat) {
		t.Error(err)
	}
}

// full is a disk that takes only some bytes of a write.
type full struct {
	file
	room int
	cut  error
}

func (f *full) WriteAt(p []byte, at int64) (int, error) {
	n, err := f.file.WriteAt(p[:min(f.room, len(p))], at)
	if err == nil && n < len(p) {
		err = syscall.ENOSPC
	}
	return n, err
}

func (f *full) Truncate(n int64) error {
	if f.cut != nil {
		return f.cut
	}
	return f.file.Truncate(n)
}

// A full disk leaves the books as they were, and they can be continued once there is
// room. If the file cannot be restored, nothing is written after a broken record.
func TestFullDisk(t *testing.T) {
	for room := range 40 {
		dir := t.TempDir()
		b := open(t, dir)
		disk := &full{file: b.f, room: room}
		b.f = disk
		if err := steps[0](b); !errors.Is(err, syscall.ENOSPC) {
			t.Fatal(err)
		}
		if m, err := b.Message(); m != nil || err != nil {
			t.Errorf("a record that could not be written counts: %v %v", m, err)
		}
		disk.room = 1 << 20
		for _, s := range steps {
			if err := s(b); err != nil {
				t.Fatal(err)
			}
		}
		disk.room, disk.cut = room, syscall.EIO
		if err := steps[0](b); !errors.Is(err, syscall.ENOSPC) {
			t.Fatal(err)
		}
		disk.room = 1 << 20
		if err := steps[0](b); !errors.Is(err, syscall.EIO) {
			t.Errorf("writing goes on after a broken record: %v", err)
		}
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		if again := open(t, dir); again.Sequence != 4 {
			t.Errorf("%d", again.Sequence)
		}
	}
}

// Books of the first format remain readable.
func TestFirstFormat(t *testing.T) {
	text, err := os.ReadFile("testdata/books.1")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "books"), text, 0o600); err != nil {
		t.Fatal(err)
	}
	b := open(t, dir)
	m, err := b.Message()
	if err != nil || m.GetSequence() != 4 || *b.About.Board != board(6) || b.Boot != 9 || b.Taken != 1 || string(b.State) != "three" || len(b.Boards) > 0 {
		t.Errorf("%v %v %+v", m, err, b.Content)
	}
}
