package hostile

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// unread connects from an address and reads almost nothing. Its short segments make the
// kernel buffer tens of kilobytes of what is sent to it, instead of the megabytes that it
// buffers on loopback: the rest stays with the service.
func unread(t *testing.T, address, to string) net.Conn {
	t.Helper()
	d := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}, Control: func(_, _ string, c syscall.RawConn) error {
		return c.Control(func(fd uintptr) {
			_ = syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_RCVBUF, 4096)
			_ = syscall.SetsockoptInt(int(fd), syscall.IPPROTO_TCP, syscall.TCP_MAXSEG, 536)
		})
	}}
	c, err := d.Dial("tcp", to)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// Unread JSON answers and pages count as their caller's memory: at the limit further ones
// are refused, and others are served. The requests take next to nothing, so it is the
// answers that are counted.
func TestJSONAnswersNotTaken(t *testing.T) {
	t.Setenv("GOMEMLIMIT", "80MiB") // of which 20 are for requests and answers
	type pages struct {
		path              string
		saws, connections int
	}
	all := []pages{{"/v1/saws?page_size=100", 110, 75}}
	if every {
		all = append(all, pages{"/page/saws.json", 300, 50})
	}
	for _, of := range all {
		t.Run(of.path, func(t *testing.T) {
			saws := filepath.Join(t.TempDir(), "saws.json")
			var all []string
			for i := range of.saws {
				var blades []string
				for k := range 32 {
					blades = append(blades, fmt.Sprintf(`{"fixed_mm": %d}`, 100+40*k))
				}
				name := fmt.Sprintf("saw %03d", i)
				if i == 0 {
					name = "heron" // name by which others call
				}
				all = append(all, fmt.Sprintf(`{"name": %q, "kerf_mm": 4, "step_mm": 0.1, "min_gap_mm": 20, "min_strip_width_mm": 20, "fence": {"min_mm": 0, "max_mm": 60}, "blades": [%s]}`, name, strings.Join(blades, ", ")))
			}
			if err := os.WriteFile(saws, []byte("["+strings.Join(all, ",\n")+"]"), 0o600); err != nil {
				t.Fatal(err)
			}
			r := serve(t, "--caller-calls", "64", "--caller-connections", "0", "--saws", saws)
			defer onlooker(t, r)()
			before := peak(t, r)
			for range of.connections {
				c := unread(t, badAddress, r.HTTP)
				go func() { // ends with the connection
					for range 200 {
						if _, err := fmt.Fprintf(c, "GET %s HTTP/1.1\r\nHost: %s\r\n\r\n", of.path, r.HTTP); err != nil {
							return
						}
					}
				}()
			}
			turned := 0.0
			for end := time.Now().Add(5 * time.Minute); turned == 0 && time.Now().Before(end); time.Sleep(200 * time.Millisecond) {
				turned = turnedAway(t, r.HTTP)
			}
			mb := peak(t, r)
			t.Logf("%.0f refused for memory, %.0f MB, before %.0f MB", turned, mb, before)
			if turned == 0 {
				t.Error("answers that are not read are not counted")
			}
			if mb > 84+40 { // the limit, plus the program's own pages, which it excludes
				t.Errorf("%.0f MB, before %.0f MB", mb, before)
			}
			honest(t, r)
		})
	}
}

// turnedAway is the number of calls refused for lack of memory.
func turnedAway(t *testing.T, at string) (all float64) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	q, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+at+"/metrics", nil)
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := answered(t, q)
	for line := range strings.SplitSeq(text, "\n") {
		if strings.HasPrefix(line, "ripwright_turned_away_total{") && strings.Contains(line, `"memory"`) {
			var v float64
			_, _ = fmt.Sscan(line[strings.LastIndex(line, " ")+1:], &v)
			all += v
		}
	}
	return all
}
