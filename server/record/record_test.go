package record

import (
	"errors"
	"io"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"
	"go.uber.org/goleak"
	"go.uber.org/zap"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// disk stalls until it is released, and may be full.
type disk struct {
	stands chan struct{}
	full   bool
}

func (d *disk) Write(p []byte) (int, error) {
	<-d.stands
	if d.full {
		return 0, errors.New("full")
	}
	return len(p), nil
}

func (d *disk) Close() error { return nil }

// on makes a recorder that writes to d.
func on(t *testing.T, d io.WriteCloser) *Recorder {
	t.Helper()
	r, err := Open(Config{File: File{Path: filepath.Join(t.TempDir(), "r")}, Log: zap.NewNop(), Metric: prometheus.NewRegistry(), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	r.Close() // its writer; another one begins below
	r.out, r.lines, r.done, r.closed = d, make(chan line, waiting), make(chan struct{}), false
	go r.write()
	return r
}

func (r *Recorder) count(outcome string) float64 {
	return testutil.ToFloat64(r.boards.WithLabelValues(outcome))
}

// A stalled disk holds nobody up: what cannot wait is dropped and counted, and nothing is
// lost without a trace.
func TestSlowDisk(t *testing.T) {
	d := &disk{stands: make(chan struct{})}
	r := on(t, d)
	const boards = waiting + 1000 // more than the writer's own buffer holds too
	var callers sync.WaitGroup
	for range boards {
		callers.Go(func() {
			r.Board("address:192.0.2.7", &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{})
		})
	}
	callers.Wait() // while the disk stalls
	close(d.stands)
	r.Close()
	r.Close()
	r.Board("address:192.0.2.7", &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{}) // after the end
	written, dropped := r.count("written"), r.count("dropped")
	if written+dropped != boards+1 || dropped < 2 || written < waiting {
		t.Errorf("%g written, %g dropped of %d", written, dropped, boards+1)
	}
}

// A full disk is counted, and writing is tried again.
func TestFullDisk(t *testing.T) {
	d := &disk{stands: make(chan struct{}), full: true}
	close(d.stands)
	r := on(t, d)
	for range 3 {
		r.Board("address:192.0.2.7", &ripwrightv1.SolveBoardRequest{}, &ripwrightv1.SolveBoardResponse{})
	}
	r.Close()
	if n := r.count("failed"); n != 3 || r.count("written") != 0 {
		t.Errorf("%g failed, %g written", n, r.count("written"))
	}
}

// A recording that cannot be opened fails the start; without a name there is none.
func TestOpen(t *testing.T) {
	if _, err := Open(Config{File: File{Path: filepath.Join(t.TempDir(), "no", "such", "directory")}, Now: time.Now}); err == nil {
		t.Error("opened")
	}
	if r, err := Open(Config{}); r != nil || err != nil {
		t.Error(r, err)
	}
}

// Waiting boards hold a bounded number of bytes: long ones are dropped sooner, but one is
// always written.
func TestHeld(t *testing.T) {
	d := &disk{stands: make(chan struct{})}
	r := on(t, d)
	long := &ripwrightv1.SolveBoardRequest{Board: &ripwrightv1.Board{}}
	for range 10_000 {
		long.Board.Stations = append(long.Board.Stations, &ripwrightv1.Station{XMm: 1, NearMm: 1, FarMm: 1})
	}
	const boards = waiting - 1
	for range boards {
		r.Board("", long, &ripwrightv1.SolveBoardResponse{})
		if held := r.held.Load(); held > mostHeld {
			t.Fatalf("%d bytes wait", held)
		}
	}
	close(d.stands)
	r.Close()
	kept, dropped := r.count("written"), r.count("dropped")
	if kept+dropped != boards || kept < 1 || dropped < boards/2 {
		t.Errorf("%v written, %v dropped of %d", kept, dropped, boards)
	}
	if held := r.held.Load(); held != 0 {
		t.Errorf("%d bytes are held at the end", held)
	}
}
