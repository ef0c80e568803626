package fleet

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/solver/saw"
)

// Live is the fleet in service. It changes as a whole: a caller has either the
// old saws or the new ones, and keeps the saw that it found. Its methods may be
// called by any number of goroutines.
type Live struct {
	file  string // empty: the built-in saws, for good
	log   *zap.Logger
	meter *meter

	current atomic.Pointer[Fleet]

	reading sync.Mutex // guards what follows
	taken   look       // what was read last, put into service or refused
	seen    look       // at the last Poll
}

// look is what there was to see in the place of the file, for comparison.
type look struct {
	text    string
	problem string // why there was none
}

// maxFile bounds a saw file in bytes. Thousands of saws fit.
const maxFile = 8 << 20

// Open reads the saw file, or takes the built-in saws where file is empty, and
// registers its metrics.
func Open(file string, log *zap.Logger, reg prometheus.Registerer, now func() time.Time) (*Live, error) {
	l := &Live{file: file, log: log}
	if file == "" {
		f, err := BuiltIn()
		if err != nil {
			return nil, err
		}
		l.current.Store(f)
		return l, nil
	}
	l.taken = l.peek()
	f, err := l.taken.parse()
	if err != nil {
		return nil, fmt.Errorf("saw file %s: %w", file, err)
	}
	l.current.Store(f)
	if l.meter, err = newMeter(reg, now); err != nil {
		return nil, err
	}
	l.log.Info("saws read", zap.String("file", file), zap.Strings("saws", f.Names()))
	return l, nil
}

// Find gives the saw called name. It must not be changed.
func (l *Live) Find(name string) (*saw.Saw, bool) { return l.current.Load().Find(name) }

// Reload reads the file anew, changed or not.
func (l *Live) Reload() {
	if l.file == "" {
		l.log.Info("no saw file to read anew: the built-in saws serve")
		return
	}
	l.reading.Lock()
	defer l.reading.Unlock()
	l.take(l.peek())
}

// Poll reads the file anew if it has changed and then stayed the same from one
// Poll to the next, so that one which is being written is left alone. It
// compares contents: times and sizes can stay what they were, and a link in the
// path may point elsewhere.
func (l *Live) Poll() {
	l.reading.Lock()
	defer l.reading.Unlock()
	was := l.seen
	l.seen = l.peek()
	if l.seen == was && l.seen != l.taken {
		l.take(l.seen)
	}
}

// Watch polls until ctx is done, or not at all where there is nothing to poll.
func (l *Live) Watch(ctx context.Context, every time.Duration) {
	if l.file == "" || every <= 0 {
		return
	}
	t := time.NewTicker(every)
	defer t.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
			l.Poll()
		}
	}
}

// take puts what was seen into service, or says what is wrong with it and
// leaves the saws as they are.
func (l *Live) take(v look) {
	l.taken = v
	f, err := v.parse()
	if err == nil {
		l.current.Store(f)
		l.meter.loaded()
		l.log.Info("saws read anew", zap.String("file", l.file), zap.Strings("saws", f.Names()))
		return
	}
	l.meter.refused()
	at := zap.String("file", l.file)
	var faults Faults
	if !errors.As(err, &faults) {
		l.log.Error("saw file refused; the saws in service stay", at, zap.Error(err))
		return
	}
	for i, f := range faults {
		if i == maxLogged {
			l.log.Error("saw file has more faults", at, zap.Int("more", len(faults)-i))
			break
		}
		l.log.Error("saw file refused; the saws in service stay", at,
			zap.Int("line", f.Line), zap.String("field", f.Path), zap.String("fault", f.Says))
	}
}

// maxLogged bounds the faults of one file that are logged.
const maxLogged = 20

func (l *Live) peek() look {
	text, err := read(l.file)
	if err != nil {
		return look{problem: err.Error()}
	}
	return look{text: string(text)}
}

func (v look) parse() (*Fleet, error) {
	if v.problem != "" {
		return nil, errors.New(v.problem)
	}
	return Parse([]byte(v.text))
}

func read(file string) (text []byte, err error) {
	// Before it is opened: opening a pipe would wait for its other end.
	if info, err := os.Stat(file); err != nil {
		return nil, err
	} else if !info.Mode().IsRegular() {
		return nil, &os.PathError{Op: "read", Path: file, Err: errors.New("is no regular file")}
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // only read from
	text, err = io.ReadAll(io.LimitReader(f, maxFile+1))
	if err == nil && len(text) > maxFile {
		err = &os.PathError{Op: "read", Path: file, Err: fmt.Errorf("is over %d bytes", maxFile)}
	}
	return text, err
}
