//go:build verify

package e2e

import (
	"bufio"
	"bytes"
	"encoding/json"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/linesim/sim"
)

// plc is the process of a PLC.
type plc struct {
	t    *testing.T
	dir  string
	port int
	args []string
	boot int
	cmd  *exec.Cmd
	read chan struct{}

	mu   sync.Mutex
	cuts []cut
	done bool
	late int // number of plans that came after their board was given up
}

// cut is a board that left, as printed by the PLC.
type cut struct {
	Boot, Number, Plan, Outcome uint32
	Declined                    uint32
	Waited                      float64
	Wrong                       string
	Done                        bool
	Late                        bool
	Without                     bool // left before its plan came
}

func (p *plc) start() {
	p.boot++
	args := append([]string{"plc.mjs", "--port", strconv.Itoa(p.port), "--boot", strconv.Itoa(p.boot), "--kept", filepath.Join(p.dir, "kept.json"), "--seed", strconv.Itoa(p.boot)}, p.args...)
	p.cmd = exec.Command("node", args...)
	p.cmd.Stderr = os.Stderr
	out, err := p.cmd.StdoutPipe()
	if err == nil {
		err = p.cmd.Start()
	}
	if err != nil {
		p.t.Fatal(err)
	}
	p.read = make(chan struct{})
	ready := make(chan struct{})
	go func() {
		defer close(p.read)
		for l := bufio.NewScanner(out); l.Scan(); {
			if l.Text() == `{"ready":true}` {
				close(ready)
				continue
			}
			var c cut
			if json.Unmarshal(l.Bytes(), &c) == nil {
				p.mu.Lock()
				if c.Late {
					p.late++
				}
				if p.done = p.done || c.Done; !c.Done && !c.Late {
					p.cuts = append(p.cuts, c)
				}
				p.mu.Unlock()
			}
		}
	}()
	select {
	case <-ready:
	case <-time.After(time.Minute):
		p.t.Fatal("the PLC does not start")
	}
}

func (p *plc) kill() {
	_ = p.cmd.Process.Kill()
	<-p.read
	_ = p.cmd.Wait()
}

func (p *plc) has() (boards int, done bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.cuts), p.done
}

func free(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	return l.Addr().(*net.TCPAddr).Port
}

// boards writes the boards that the PLC shows.
func boards(t *testing.T, name string, n int) {
	t.Helper()
	var all bytes.Buffer
	for k := range n {
		b := sim.Board(5, k+1)
		x := struct {
			Length float64   `json:"length"`
			At     []float64 `json:"at"`
			Near   []float64 `json:"near"`
			Far    []float64 `json:"far"`
		}{Length: b.GetLengthMm()}
		for _, s := range b.GetStations() {
			x.At, x.Near, x.Far = append(x.At, s.GetXMm()), append(x.Near, s.GetNearMm()), append(x.Far, s.GetFarMm())
		}
		if err := json.NewEncoder(&all).Encode(x); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(name, all.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}
