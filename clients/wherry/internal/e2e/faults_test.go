//go:build verify

package e2e

import (
	"fmt"
	mathrand "math/rand/v2"
	"os"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/replicas"
)

// faults are faults of a plant, which are over when they return.
var faults = []struct {
	name string
	do   func(*plant, *mathrand.Rand)
}{
	{"the bridge is killed", func(p *plant, _ *mathrand.Rand) { p.kill(); p.start() }},
	{"the bridge stands still", func(p *plant, rng *mathrand.Rand) {
		_ = p.cmd.Process.Signal(syscall.SIGSTOP)
		time.Sleep(time.Duration(rng.IntN(1500)) * time.Millisecond)
		_ = p.cmd.Process.Signal(syscall.SIGCONT)
	}},
	{"the PLC is killed", func(p *plant, _ *mathrand.Rand) {
		if _, done := p.plc.has(); !done {
			p.plc.kill()
			p.plc.start()
		}
	}},
	{"the PLC is cut off", func(p *plant, _ *mathrand.Rand) { p.line.Cut() }},
	{"the PLC is silent", func(p *plant, rng *mathrand.Rand) {
		p.line.Stall(true)
		time.Sleep(time.Duration(rng.IntN(1200)) * time.Millisecond)
		p.line.Stall(false)
	}},
	{"a replica is killed", func(p *plant, rng *mathrand.Rand) {
		i := rng.IntN(2)
		p.all[i].Kill()
		r, err := replicas.Launch(programs.service)
		if err != nil {
			p.t.Fatal(err)
		}
		p.all[i] = r
		p.sites[i].Point(r.GRPC)
	}},
	{"a replica is cut off", func(p *plant, rng *mathrand.Rand) { p.sites[rng.IntN(2)].Cut() }},
	{"a replica is silent", func(p *plant, rng *mathrand.Rand) {
		i := rng.IntN(2)
		p.sites[i].Stall(true)
		time.Sleep(time.Duration(rng.IntN(1500)) * time.Millisecond)
		p.sites[i].Stall(false)
	}},
	{"the broker is killed", func(p *plant, rng *mathrand.Rand) {
		p.screen.kill()
		time.Sleep(time.Duration(rng.IntN(500)) * time.Millisecond)
		p.screen.start()
	}},
	{"the broker is cut off", func(p *plant, _ *mathrand.Rand) { p.screen.wire.Cut() }},
	{"the broker is silent", func(p *plant, rng *mathrand.Rand) {
		p.screen.wire.Stall(true)
		time.Sleep(time.Duration(rng.IntN(1500)) * time.Millisecond)
		p.screen.wire.Stall(false)
	}},
}

// whole reads a whole number from the environment, for longer runs.
func whole(t *testing.T, name string, without int) int {
	t.Helper()
	v := os.Getenv(name)
	if v == "" {
		return without
	}
	n, err := strconv.Atoi(v)
	if err != nil || n < 1 {
		t.Fatalf("%s: %q", name, v)
	}
	return n
}

// If a PLC waits hardly as long as a plan takes, late plans are not cut and not counted.
func TestLate(t *testing.T) {
	p := newPlant(t, wants{boards: 80, plc: []string{"--hold", "20", "--vary"}})
	p.start()
	p.runs(3, false)
	agree(t, p)
	without := 0
	for _, c := range p.plc.cuts {
		if c.Without {
			without++
		}
	}
	t.Logf("%d boards left before their plan was written, %d plan numbers came after that", without, p.plc.late)
	if without < 4 || without > 78 {
		t.Error("no plan was late, or nearly all were")
	}
}

// Made equals the accepted cuts, no plan stands beside another board's number, and
// displays finally show what the service has, whatever is killed, stopped and cut off.
func TestFaults(t *testing.T) {
	n, first := whole(t, "WHERRY_BOARDS", 60), whole(t, "WHERRY_SEED", 1)
	for seed := first; seed < first+whole(t, "WHERRY_SEEDS", 1); seed++ {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			p := newPlant(t, wants{boards: n, displays: true})
			p.start()
			p.runs(uint64(seed), true)
			made := agree(t, p)
			p.screen.shows(made)
			if x, _ := p.plc.has(); x < n {
				t.Errorf("%d of %d boards left", x, n)
			}
		})
	}
}
