//go:build verify

package e2e

import (
	"slices"
	"testing"
)

// How long a PLC waits for a plan, encrypted, books and solve included: printed, and held
// against nothing, since the machine is everybody's.
func TestLatency(t *testing.T) {
	p := newPlant(t, wants{boards: 300, policy: "Aes256_Sha256_RsaPss"})
	p.start()
	p.runs(2, false)
	agree(t, p)
	var l []float64
	for _, c := range p.plc.cuts[5:] {
		l = append(l, c.Waited)
	}
	slices.Sort(l)
	t.Logf("from scan number to plan number: %.1f ms at the median, %.1f at the 99th percentile", l[len(l)/2], l[len(l)*99/100])
}
