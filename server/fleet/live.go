package fleet

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/proto/file"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
)

// Live is the fleet in service. It changes as a whole: a caller has either the old saws
// or the new ones, and keeps the saw that it found. Its methods may be called by any
// number of goroutines.
type Live struct {
	file  string // empty: the built-in saws, for good
	log   *zap.Logger
	meter *meter

	current atomic.Pointer[Fleet]

	reading sync.Mutex // guards what follows
	taken   look       // what was last read, whether accepted or refused
	seen    look       // at the last Poll
}

// Open reads the saw file, or takes the built-in saws if file is empty, and registers its
// metrics.
func Open(file string, log *zap.Logger, reg prometheus.Registerer, now func() time.Time) (*Live, error) {
	seen, f, err := load(file)
	if err != nil {
		return nil, err
	}
	l := &Live{file: file, log: log, taken: seen}
	l.current.Store(f)
	if file == "" {
		return l, nil
	}
	if l.meter, err = newMeter(reg, now); err != nil {
		return nil, err
	}
	l.log.Info("saws loaded", zap.String("file", file), zap.Strings("saws", f.Names()))
	return l, nil
}

// Find gives the saw called name. It must not be changed.
func (l *Live) Find(name string) (*wire.Machine, bool) { return l.current.Load().Find(name) }

// Names lists the saws.
func (l *Live) Names() []string { return l.current.Load().Names() }

// Messages gives the saws in service as they were written. They must not be
// changed.
func (l *Live) Messages() []*ripwrightv1.Saw { return l.current.Load().Messages() }

// Reload reads the file again, whether or not it has changed.
func (l *Live) Reload() {
	if l.file == "" {
		l.log.Info("no saw file to reload; the built-in saws are in service")
		return
	}
	l.reading.Lock()
	defer l.reading.Unlock()
	l.take(peek(l.file))
}

// Poll reads the file again if it has changed and then stayed the same from one Poll to
// the next, so that a file being written is left alone. It compares contents: times and
// sizes can stay the same, and a link in the path may point elsewhere.
func (l *Live) Poll() {
	l.reading.Lock()
	defer l.reading.Unlock()
	was := l.seen
	l.seen = peek(l.file)
	if l.seen == was && l.seen != l.taken {
		l.take(l.seen)
	}
}

// Watch polls until ctx is done, or not at all if there is nothing to poll.
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

// take puts a file's saws into service, or reports its faults and leaves the saws as they
// are.
func (l *Live) take(v look) {
	l.taken = v
	f, err := v.parse(l.file)
	if err == nil {
		l.current.Store(f)
		l.meter.loaded()
		l.log.Info("saws reloaded", zap.String("file", l.file), zap.Strings("saws", f.Names()))
		return
	}
	l.meter.refused()
	at := zap.String("file", l.file)
	var faults file.Faults
	if !errors.As(err, &faults) {
		l.log.Error("saw file refused; the saws read before stay in service", at, zap.Error(err))
		return
	}
	for i, f := range faults {
		if i == maxLogged {
			l.log.Error("saw file has more faults", at, zap.Int("more", len(faults)-i))
			break
		}
		l.log.Error("saw file refused; the saws read before stay in service", at,
			zap.Int("line", f.Line), zap.String("field", f.Path), zap.String("fault", f.Says))
	}
}

// maxLogged bounds the faults of one file that are logged.
const maxLogged = 20
