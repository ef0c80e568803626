package orders

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// kept is the result of one quote: by measure, what was quoted and what was cut.
type kept struct {
	quoted []*ripwrightv1.Estimate
	cut    []float64
	// boards cut, and those of them that a limit of work left unproven.
	boards, unproven int
	// luck is how much larger the boards cut were than the same number of average boards,
	// as a fraction of what was quoted; 0 if not known.
	luck float64
}

// trialled identifies the quote of a result.
type trialled struct {
	Kind        int    `json:"kind"`
	Seed        uint64 `json:"seed"`
	Simulations int32  `json:"simulations"`
	Every       int32  `json:"every"`
}

// line is kept as written to a file, one per line.
type line struct {
	trialled
	Quoted   [][3]float64 `json:"quoted"` // mean, lower, upper
	Cut      []float64    `json:"cut"`
	Boards   int          `json:"boards"`
	Unproven int          `json:"unproven"`
}

// notes are the results of quotes, in a file that survives an interruption. Without a
// file there are none.
type notes struct {
	mu  sync.Mutex
	out *os.File
	all map[trialled]*kept
}

// openNotes reads a file, which need not exist, and appends to it. It removes an
// unfinished last line, which an interruption may have left.
func openNotes(path string) (*notes, error) {
	n := &notes{all: map[trialled]*kept{}}
	if path == "" {
		return n, nil
	}
	in, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	whole := 0
	for at := 0; whole < len(in); at++ {
		size, text, _ := bufio.ScanLines(in[whole:], false)
		if size == 0 {
			break
		}
		var l line
		if err := json.Unmarshal(text, &l); err != nil || len(l.Quoted) != len(measures) || len(l.Cut) != len(measures) {
			return nil, fmt.Errorf("%s: line %d is not the result of a quote", path, at+1)
		}
		n.all[l.trialled] = l.kept()
		whole += size
	}
	if n.out, err = os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o644); err != nil {
		return nil, err
	}
	if err = n.out.Truncate(int64(whole)); err == nil {
		_, err = n.out.Seek(int64(whole), 0)
	}
	if err != nil {
		return nil, errors.Join(err, n.out.Close())
	}
	return n, nil
}

func (l *line) kept() *kept {
	k := &kept{cut: l.Cut, boards: l.Boards, unproven: l.Unproven}
	for _, q := range l.Quoted {
		k.quoted = append(k.quoted, &ripwrightv1.Estimate{Mean: q[0], Lower: q[1], Upper: q[2]})
	}
	return k
}

// of gives the stored result of a quote, or obtains it now and stores it.
func (n *notes) of(t trialled, now func() (*kept, error)) (*kept, error) {
	n.mu.Lock()
	k := n.all[t]
	n.mu.Unlock()
	if k != nil {
		return k, nil
	}
	k, err := now()
	if err != nil || n.out == nil {
		return k, err
	}
	l := line{trialled: t, Cut: k.cut, Boards: k.boards, Unproven: k.unproven}
	for _, q := range k.quoted {
		l.Quoted = append(l.Quoted, [3]float64{q.GetMean(), q.GetLower(), q.GetUpper()})
	}
	text, err := json.Marshal(l)
	if err != nil {
		return nil, err
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	_, err = n.out.Write(append(text, '\n'))
	return k, err
}

func (n *notes) close() error {
	if n.out == nil {
		return nil
	}
	return n.out.Close()
}
