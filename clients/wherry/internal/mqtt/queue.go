package mqtt

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// message on its way to the broker.
type message struct {
	Topic   string
	Retain  bool
	Payload []byte
}

// queue keeps messages on disk, oldest first, one file each. The client library's own
// queue orders them by file time, which two messages of one moment share, and searches
// the whole folder for each. The queue does not sync to disk: its content is lost if the
// machine loses power, but nothing else is.
type queue struct {
	dir  string
	most int

	mu    sync.Mutex
	names []uint64 // of the waiting files, ascending
	next  uint64
	// ready holds one entry while something may wait.
	ready chan struct{}
}

const extension = ".message"

// openQueue opens a folder, and gives the number of oldest messages that were dropped.
func openQueue(dir string, most int) (*queue, int, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, 0, err
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		return nil, 0, err
	}
	q := &queue{dir: dir, most: most, next: 1, ready: make(chan struct{}, 1)}
	for _, f := range files {
		name, ok := strings.CutSuffix(f.Name(), extension)
		if n, err := strconv.ParseUint(name, 16, 64); ok && err == nil {
			q.names = append(q.names, n)
		}
	}
	slices.Sort(q.names)
	if k := len(q.names); k > 0 {
		q.next = q.names[k-1] + 1
		wake(q.ready)
	}
	dropped := 0
	for len(q.names) > most {
		if err := q.remove(q.names[0]); err != nil {
			return nil, 0, err
		}
		dropped++
	}
	return q, dropped, nil
}

func (q *queue) file(n uint64) string {
	return filepath.Join(q.dir, fmt.Sprintf("%016x%s", n, extension))
}

// remove removes a message. The lock is held.
func (q *queue) remove(n uint64) error {
	if i := slices.Index(q.names, n); i >= 0 {
		q.names = slices.Delete(q.names, i, i+1)
	}
	if err := os.Remove(q.file(n)); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// add appends a message. At the limit it drops the oldest: a display shows the newest.
func (q *queue) add(m message) (dropped int, err error) {
	text, err := json.Marshal(m)
	if err != nil {
		return 0, err
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	for len(q.names) >= q.most {
		if err := q.remove(q.names[0]); err != nil {
			return dropped, err
		}
		dropped++
	}
	n := q.next
	q.next++
	if err := os.WriteFile(q.file(n), text, 0o600); err != nil {
		return dropped, errors.Join(err, q.remove(n))
	}
	q.names = append(q.names, n)
	wake(q.ready)
	return dropped, nil
}

// first gives the oldest message and its number; 0: there is none. One that cannot be
// read, as after a loss of power, is removed with an error.
func (q *queue) first() (uint64, message, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if len(q.names) == 0 {
		return 0, message{}, nil
	}
	n := q.names[0]
	var m message
	text, err := os.ReadFile(q.file(n))
	if err == nil {
		err = json.Unmarshal(text, &m)
	}
	if err == nil && m.Topic == "" {
		err = errors.New("it has no topic")
	}
	if err != nil {
		return 0, m, errors.Join(fmt.Errorf("%s: %w", q.file(n), err), q.remove(n))
	}
	return n, m, nil
}

// sent removes a message that the broker has accepted. It may have been dropped already.
func (q *queue) sent(n uint64) error {
	q.mu.Lock()
	defer q.mu.Unlock()
	return q.remove(n)
}

func (q *queue) waiting() int {
	q.mu.Lock()
	defer q.mu.Unlock()
	return len(q.names)
}
