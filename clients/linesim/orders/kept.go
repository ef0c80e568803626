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

// kept is what came of one quote: by measure, what was quoted and what was cut.
type kept struct {
	quoted []*ripwrightv1.Estimate
	cut    []float64
	// boards cut, and those of them that a limit of work left unproven.
	boards, unproven int
	// luck is how much larger the boards cut were, in parts of what was quoted, than as many
	// are on average; 0 where that is not known.
	luck float64
}

// trialled says which quote it is that something came of.
type trialled struct {
	Kind        int    `json:"kind"`
	Seed        uint64 `json:"seed"`
	Simulations int32  `json:"simulations"`
	Every       int32  `json:"every"`
}

// line is kept as it stands in a file, one a line.
type line struct {
	trialled
	Quoted   [][3]float64 `json:"quoted"` // mean, lower, upper
	Cut      []float64    `json:"cut"`
	Boards   int          `json:"boards"`
	Unproven int          `json:"unproven"`
}

// notes are what came of quotes, in a file that outlives an interruption. Without a file
// they are none.
type notes struct {
	mu  sync.Mutex
	out *os.File
	all map[trialled]*kept
}

// openNotes reads what stands in a file, which need not exist, and goes on with it. An
// interruption may have left its last line unfinished: that is taken off.
func openNotes(path string) (*notes, error) {
	n := &notes{all: map[trialled]*kept{}}
	if path == "" {
		return n, nil
	}
	in, err := os.ReadFile(path) //nolint:gosec // the caller's own
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
			return nil, fmt.Errorf("%s: line %d is not what came of a quote", path, at+1)
		}
		n.all[l.trialled] = l.kept()
		whole += size
	}
	if n.out, err = os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o644); err != nil { //nolint:gosec // the caller's own
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

// of gives what is known of a quote, or what comes of it now, and keeps that.
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
