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

// queue keeps messages on disk, oldest first, a file for each: the client library's own
// tells their order by the time of the file, which two messages of one moment share, and
// looks through the whole folder for each of them. It does not wait for the disk: what
// stood in it is lost where the machine loses its power, and nothing else.
type queue struct {
	dir  string
	most int

	mu    sync.Mutex
	names []uint64 // of the files that wait, rising
	next  uint64
	// ready holds one entry while something may wait.
	ready chan struct{}
}

const extension = ".message"

// openQueue opens a folder, and gives how many of its oldest had to go.
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

// remove takes a message away. Its lock is held.
func (q *queue) remove(n uint64) error {
	if i := slices.Index(q.names, n); i >= 0 {
		q.names = slices.Delete(q.names, i, i+1)
	}
	if err := os.Remove(q.file(n)); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// add puts a message at the end. Where there are as many as there may be, the oldest goes:
// what a display shows is the newest.
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

// first gives the oldest message and its number, 0: there is none. One that cannot be read,
// as after a loss of power, is taken away with an error.
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

// sent takes a message away that the broker has. It may have gone already.
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
