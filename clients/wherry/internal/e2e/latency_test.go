//go:build verify

package e2e

import (
	"errors"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"testing"
)

var written = regexp.MustCompile(`"msg":"plan written".*"boot":(\d+),"number":(\d+),"ms":[\d.e+-]+,"asking_ms":([\d.e+-]+),"books_ms":([\d.e+-]+)`)

// How long a PLC waits for a plan, encrypted, from its scan number to the plan's number:
// less the service's time, with and without the books. The times are printed but not
// tested, since the machine is shared.
func TestLatency(t *testing.T) {
	p := newPlant(t, wants{boards: whole(t, "WHERRY_LATENCY_BOARDS", 100), policy: "Aes256_Sha256_RsaPss", plc: []string{"--between", "50"}})
	p.start()
	p.runs(2, false)
	agree(t, p)
	text, err := os.ReadFile(p.log.Name())
	if err != nil {
		t.Fatal(err)
	}
	took := map[string][2]float64{}
	for _, m := range written.FindAllStringSubmatch(string(text), -1) {
		asking, err := strconv.ParseFloat(m[3], 64)
		books, err2 := strconv.ParseFloat(m[4], 64)
		if err := errors.Join(err, err2); err != nil {
			t.Fatal(err)
		}
		took[m[1]+"/"+m[2]] = [2]float64{asking, books}
	}
	var all, withBooks, bare []float64
	for _, c := range p.plc.cuts[5:] {
		if x, ok := took[fmt.Sprintf("%d/%d", c.Boot, c.Number)]; ok && c.Declined == 0 {
			all, withBooks, bare = append(all, c.Waited), append(withBooks, c.Waited-x[0]), append(bare, c.Waited-x[0]-x[1])
		}
	}
	if len(all) < p.boards/2 {
		t.Fatalf("%d boards had a plan", len(all))
	}
	for _, l := range []struct {
		says string
		ms   []float64
	}{{"in total", all}, {"without the service", withBooks}, {"without the service and the books", bare}} {
		slices.Sort(l.ms)
		t.Logf("from scan number to plan number, %s: %.1f ms at the median, %.1f at the 99th percentile of %d", l.says, l.ms[len(l.ms)/2], l.ms[len(l.ms)*99/100], len(l.ms))
	}
}
