package fleet

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"

	"github.com/ripwright/ripwright/solver/saw"
)

// opened is a Live on a file of the test, with its log and its metrics.
type opened struct {
	*Live
	t    *testing.T
	file string
	logs *observer.ObservedLogs
	now  time.Time
}

func open(t *testing.T, file string) *opened {
	t.Helper()
	core, logs := observer.New(zapcore.InfoLevel)
	o := &opened{t: t, file: file, logs: logs, now: time.Unix(1000, 0)}
	var err error
	o.Live, err = Open(file, zap.New(core), prometheus.NewPedanticRegistry(), func() time.Time { return o.now })
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// state checks what is in service and what has been counted so far.
func (o *opened) state(when string, kerf float64, loaded, refused int, since int64) {
	o.t.Helper()
	s, ok := o.Find("birch")
	if !ok || s.Kerf.MM() != kerf {
		o.t.Errorf("%s: birch is %+v, want a kerf of %g", when, s, kerf)
	}
	l, r := testutil.ToFloat64(o.meter.reloads.WithLabelValues("loaded")), testutil.ToFloat64(o.meter.reloads.WithLabelValues("refused"))
	if int(l) != loaded || int(r) != refused || testutil.ToFloat64(o.meter.last) != float64(since) {
		o.t.Errorf("%s: %g loaded, %g refused, since %g; want %d, %d, %d", when, l, r, testutil.ToFloat64(o.meter.last), loaded, refused, since)
	}
}

func withKerf(kerf string) string {
	return strings.Replace(good, "kerf_mm: 4\n", "kerf_mm: "+kerf+"\n", 1)
}

// bad is a file with a mistake on line 22.
var bad = strings.Replace(good, "55.5", "9999", 1)

func TestPoll(t *testing.T) {
	file := filepath.Join(t.TempDir(), "saws.yaml")
	write(t, file, good)
	o := open(t, file)
	o.Poll()
	o.Poll()
	o.state("nothing new", 4, 0, 0, 1000)

	o.now = time.Unix(2000, 0)
	write(t, file, withKerf("5"))
	o.Poll()
	o.state("seen once", 4, 0, 0, 1000)
	o.Poll()
	o.state("seen twice", 5, 1, 0, 2000)

	o.now = time.Unix(3000, 0)
	write(t, file, bad)
	for range 5 {
		o.Poll()
	}
	o.state("a bad file", 5, 1, 1, 2000)
	entries := o.logs.FilterMessageSnippet("refused").All()
	if len(entries) == 0 {
		t.Fatal("a bad file is not logged")
	}
	if f := entries[0].ContextMap(); f["line"] != int64(22) || f["field"] != "saws[1].blades[0].fixed_mm" || f["file"] != file {
		t.Errorf("logged as %v", f)
	}
	said := len(entries)

	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	o.Poll()
	o.state("gone for a moment", 5, 1, 1, 2000)
	o.Poll()
	o.state("gone", 5, 1, 2, 2000)
	write(t, file, bad)
	o.Poll()
	o.Poll()
	o.state("bad again", 5, 1, 3, 2000)
	if n := o.logs.FilterMessageSnippet("refused").Len(); n != 2*said+1 {
		t.Errorf("%d refusals logged, want %d", n, 2*said+1)
	}
	write(t, file, withKerf("6"))
	o.Poll()
	o.Poll()
	o.state("mended", 6, 2, 3, 3000)
}

// A directory that is swapped by a link, as Kubernetes does, is a change even if the
// file's time and size stay the same.
func TestPollFollowsLinks(t *testing.T) {
	dir := t.TempDir()
	for name, kerf := range map[string]string{"one": "4", "two": "5"} {
		if err := os.Mkdir(filepath.Join(dir, name), 0o700); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, name, "saws.yaml")
		write(t, file, withKerf(kerf))
		if err := os.Chtimes(file, time.Unix(1, 0), time.Unix(1, 0)); err != nil {
			t.Fatal(err)
		}
	}
	link := filepath.Join(dir, "data")
	if err := os.Symlink("one", link); err != nil {
		t.Fatal(err)
	}
	o := open(t, filepath.Join(link, "saws.yaml"))
	o.state("at first", 4, 0, 0, 1000)
	next := filepath.Join(dir, "next")
	if err := os.Symlink("two", next); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(next, link); err != nil {
		t.Fatal(err)
	}
	o.Poll()
	o.Poll()
	o.state("swapped", 5, 1, 0, 1000)
}

// Reload does not wait for a second look.
func TestReload(t *testing.T) {
	file := filepath.Join(t.TempDir(), "saws.yaml")
	write(t, file, good)
	o := open(t, file)
	write(t, file, withKerf("5"))
	o.Reload()
	o.state("reloaded", 5, 1, 0, 1000)
	write(t, file, "- ")
	o.Reload()
	o.state("refused", 5, 1, 1, 1000)

	o = open(t, "")
	o.Reload() // has nothing to do, and reports so
	if _, ok := o.Find("heron"); !ok || o.logs.FilterMessageSnippet("built-in").Len() != 1 {
		t.Errorf("built-in saws after a reload: %v", o.logs.All())
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	wrong := filepath.Join(dir, "bad.yaml")
	write(t, wrong, bad)
	big := filepath.Join(dir, "big.yaml")
	write(t, big, strings.Repeat("#", maxFile+1))
	for file, says := range map[string]string{
		wrong:                       "bad.yaml:22: saws[1].blades[0].fixed_mm is 9999",
		big:                         "is over 1048576 bytes",
		dir:                         "is not a regular file",
		filepath.Join(dir, "no.it"): "no such file",
	} {
		if _, err := Open(file, zap.NewNop(), prometheus.NewRegistry(), time.Now); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %s", file, err, says)
		}
	}
}

// A saw once found stays as it was, and nobody ever finds saws of two files together.
func TestSwapIsWhole(t *testing.T) {
	file := filepath.Join(t.TempDir(), "saws.yaml")
	both := func(kerf string) string { return strings.Replace(withKerf(kerf), "kerf_mm: 3.2", "kerf_mm: "+kerf, 1) }
	write(t, file, both("4"))
	o := open(t, file)
	before, _ := o.Find("birch")
	kept := *before
	kept.Blades = append([]saw.Blade(nil), before.Blades...)

	done := make(chan struct{})
	var readers sync.WaitGroup
	for range 2 {
		readers.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				f := o.current.Load()
				a, _ := f.Find("alder")
				b, _ := f.Find("birch")
				if a.Kerf != b.Kerf {
					t.Error("saws of two files at once")
					return
				}
			}
		})
	}
	for i := range 20 {
		write(t, file, both([]string{"5", "6"}[i%2]))
		o.Reload()
	}
	close(done)
	readers.Wait()
	o.state("at last", 6, 20, 0, 1000)
	if !reflect.DeepEqual(*before, kept) {
		t.Errorf("the saw that was found before the reload changed to %+v", *before)
	}
}
