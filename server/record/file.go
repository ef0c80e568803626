package record

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// File says where a recording goes and when a new file begins.
type File struct {
	Path string
	Size int64         // bytes after which a new file begins; 0: never
	Age  time.Duration // after which a new file begins; 0: never
	Keep int           // how many of the newest files set aside are kept; 0: all
}

// stamp is the format of the time in the name of a file set aside, in UTC.
const stamp = "20060102T150405.000000000Z"

// file appends records to a file. It belongs to one goroutine.
//
// A record always begins a line: after a failed write, and if the opened file does not
// end with a newline (a full disk, a power cut), a newline is written first, so that a
// torn record spoils no other.
type file struct {
	cfg  File
	now  func() time.Time
	open func(string) (handle, error)

	out  handle
	size int64
	torn bool // the file may not end with a newline
	// A file is full once it has grown by cfg.Size from base, and old at cfg.Age after
	// since. If it cannot be set aside both start again, so that recording continues and
	// not every record tries again.
	base  int64
	since time.Time
	aside error // why the last file was not set aside, or an old one not removed
}

// handle is the part of an os.File that is used.
type handle interface {
	io.WriteCloser
	io.ReaderAt
	Stat() (os.FileInfo, error)
}

func newFile(cfg File, now func() time.Time) *file {
	return &file{cfg: cfg, now: now, open: func(path string) (handle, error) {
		return os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_RDWR, 0o600)
	}}
}

// Write appends one whole record. After an error the file is opened again.
func (f *file) Write(record []byte) (int, error) {
	n, err := f.append(record)
	if err != nil {
		_ = f.Close() // the write's error says more
	}
	return n, err
}

func (f *file) append(record []byte) (int, error) {
	if f.out == nil {
		if err := f.begin(); err != nil {
			return 0, err
		}
	}
	full := f.cfg.Size > 0 && f.size-f.base+int64(len(record)) > f.cfg.Size
	old := f.cfg.Age > 0 && f.now().Sub(f.since) >= f.cfg.Age
	if f.size > f.base && (full || old) {
		f.aside = f.setAside()
		if f.out == nil {
			if err := f.begin(); err != nil {
				return 0, err
			}
		}
		if f.aside != nil {
			f.base, f.since = f.size, f.now()
		}
	}
	if f.torn {
		n, err := f.out.Write([]byte("\n"))
		f.size += int64(n)
		if err != nil {
			return 0, err
		}
		f.torn = false
	}
	n, err := f.out.Write(record)
	f.size += int64(n)
	return n, err
}

// Close closes the file. The next record opens it again under its name, even if it was
// moved.
func (f *file) Close() error {
	if f.out == nil {
		return nil
	}
	err := f.out.Close()
	f.out = nil
	return err
}

// begin opens the file and finds out how it ends and when it was begun.
func (f *file) begin() error {
	out, err := f.open(f.cfg.Path)
	if err != nil {
		return err
	}
	f.out, f.size, f.base, f.since, f.torn = out, 0, 0, f.now(), false
	info, err := out.Stat()
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() || info.Size() == 0 { // a pipe cannot be read back
		return nil
	}
	f.size = info.Size()
	last := make([]byte, 1)
	if _, err := out.ReadAt(last, f.size-1); err != nil {
		return err
	}
	f.torn = last[0] != '\n'
	if t, ok := firstTime(out); ok {
		f.since = t
	}
	return nil
}

// firstTime reads the time of a file's first record.
func firstTime(r io.ReaderAt) (time.Time, bool) {
	head := make([]byte, len(`{"time":"`)+len(time.RFC3339Nano)+1)
	n, err := r.ReadAt(head, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return time.Time{}, false
	}
	text, found := strings.CutPrefix(string(head[:n]), `{"time":"`)
	text, _, whole := strings.Cut(text, `"`)
	t, err := time.Parse(time.RFC3339Nano, text)
	return t, found && whole && err == nil
}

// setAside renames the file, begins a new one and removes the oldest of those set aside.
func (f *file) setAside() error {
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Rename(f.cfg.Path, f.cfg.Path+"."+f.now().UTC().Format(stamp)); err != nil {
		return err
	}
	if err := f.begin(); err != nil {
		return err
	}
	return f.tidy()
}

func (f *file) tidy() error {
	if f.cfg.Keep == 0 {
		return nil
	}
	dir, name := filepath.Split(f.cfg.Path)
	if dir == "" {
		dir = "."
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fmt.Errorf("old recordings: %w", err)
	}
	var aside []string
	for _, e := range entries {
		if end, is := strings.CutPrefix(e.Name(), name+"."); is {
			if _, err := time.Parse(stamp, end); err == nil {
				aside = append(aside, e.Name())
			}
		}
	}
	slices.Sort(aside) // by time
	for ; len(aside) > f.cfg.Keep; aside = aside[1:] {
		if err := os.Remove(filepath.Join(dir, aside[0])); err != nil {
			return fmt.Errorf("old recordings: %w", err)
		}
	}
	return nil
}
