//go:build verify

// Package e2e has wherry as a process between a PLC that node-opcua serves, in another
// process and with security, and two replicas of the service, and kills, stops and cuts off
// each of them at random.
package e2e

import (
	"bufio"
	"bytes"
	"context"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"math"
	"math/big"
	mathrand "math/rand/v2"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"

	"github.com/ripwright/ripwright/clients/internal/proxy"
	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/linesim/sim"
	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// built compiles a program of a folder.
func built(t *testing.T, root, of string) string {
	t.Helper()
	program := filepath.Join(t.TempDir(), "program")
	if out, err := exec.Command("go", "build", "-C", root, "-trimpath", "-o", program, of).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return program
}

// certificate makes one that OPC UA takes, and its key.
func certificate(t *testing.T, dir string, until time.Time) {
	t.Helper()
	key, err := rsa.GenerateKey(rand.Reader, 2048)
	if err != nil {
		t.Fatal(err)
	}
	uri, err := url.Parse("urn:plant.example:wherry")
	if err != nil {
		t.Fatal(err)
	}
	x := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "wherry"}, NotBefore: until.Add(-48 * time.Hour), NotAfter: until,
		URIs: []*url.URL{uri}, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment | x509.KeyUsageKeyEncipherment | x509.KeyUsageDataEncipherment,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageClientAuth}}
	der, err := x509.CreateCertificate(rand.Reader, x, x, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string]*pem.Block{
		"wherry.pem": {Type: "CERTIFICATE", Bytes: der}, "wherry.key": {Type: "RSA PRIVATE KEY", Bytes: x509.MarshalPKCS1PrivateKey(key)}} {
		if err := os.WriteFile(filepath.Join(dir, name), pem.EncodeToMemory(b), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

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
}

// cut is a board that left, as the PLC prints it.
type cut struct {
	Boot, Number, Plan, Outcome uint32
	Declined                    uint32
	Waited                      float64
	Wrong                       string
	Done                        bool
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
				if p.done = p.done || c.Done; !c.Done {
					p.cuts = append(p.cuts, c)
				}
				p.mu.Unlock()
			}
		}
	}()
	select {
	case <-ready:
	case <-time.After(time.Minute):
		p.t.Fatal("the PLC does not come up")
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

// boards writes those that the PLC shows.
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

// plant is a PLC, two replicas behind a network that fails, and a bridge.
type plant struct {
	t       *testing.T
	dir     string
	plc     *plc
	line    *proxy.Proxy // between bridge and PLC
	sites   []*proxy.Proxy
	service string
	all     []*replicas.Replica
	wherry  string
	cmd     *exec.Cmd
	ended   chan struct{} // once cmd has
	log     *os.File
}

func newPlant(t *testing.T, n int, policy string) *plant {
	t.Helper()
	if os.Getenv("WHERRY_MODULES") == "" {
		t.Fatal("WHERRY_MODULES has to be the folder that npm installed node-opcua in")
	}
	p := &plant{t: t, dir: t.TempDir(), service: built(t, "../../../..", "./server"), wherry: built(t, "../..", ".")}
	pki := filepath.Join(p.dir, "pki")
	if err := os.MkdirAll(filepath.Join(pki, "own/trusted/certs"), 0o700); err != nil {
		t.Fatal(err)
	}
	certificate(t, p.dir, time.Now().Add(24*time.Hour))
	text, err := os.ReadFile(filepath.Join(p.dir, "wherry.pem"))
	if err == nil {
		err = os.WriteFile(filepath.Join(pki, "own/trusted/certs/wherry.pem"), text, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	boards(t, filepath.Join(p.dir, "boards.jsonl"), n)
	p.plc = &plc{t: t, dir: p.dir, port: free(t), args: []string{"--boards", filepath.Join(p.dir, "boards.jsonl"), "--secured", "--folder", pki, "--between", "20"}}
	p.plc.start()
	t.Cleanup(func() {
		p.plc.kill()
		if p.cmd != nil {
			p.kill()
		}
	})
	p.line = proxy.New(t)
	p.line.Point(fmt.Sprintf("127.0.0.1:%d", p.plc.port))
	for i := range 2 {
		r, err := replicas.Launch(p.service)
		if err != nil {
			t.Fatal(err)
		}
		p.all = append(p.all, r)
		p.sites = append(p.sites, proxy.New(t))
		p.sites[i].Point(r.GRPC)
		t.Cleanup(func() { p.all[i].Kill() })
	}
	p.files(policy)
	if p.log, err = os.Create(filepath.Join(p.dir, "log")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.log.Close() })
	return p
}

// files writes mapping, saw and order.
func (p *plant) files(policy string) {
	words := ""
	for _, w := range contract.Words {
		if w.Name != contract.Thickness {
			words += "  " + w.Name + ": s=Hand." + w.Name + "\n"
		}
	}
	mapping := fmt.Sprintf("run: east\nbooks: books\nservice:\n  addresses: [%s, %s]\n  answer_within_ms: 500\nsaw_file: saw.yaml\norder_file: order.yaml\nmetrics: 127.0.0.1:0\n"+
		"plc:\n  timeout_ms: 500\n  dead_after_ms: 500\n  opcua:\n    endpoint: opc.tcp://%s/saw\n    namespace: urn:plant.example:saw\n    policy: %s\n    certificate: wherry.pem\n    key: wherry.key\n    server_certificate: pki/own/own/certs/certificate.pem\nwords:\n%s",
		p.sites[0].At, p.sites[1].At, p.line.At, policy, words)
	for name, text := range map[string]string{"mapping.yaml": mapping, "saw.yaml": saw, "order.yaml": order} {
		if err := os.WriteFile(filepath.Join(p.dir, name), []byte(text), 0o600); err != nil {
			p.t.Fatal(err)
		}
	}
}

const saw = `- name: sim
  kerf: 3.6mm
  step: 0.5mm
  min_gap: 30mm
  edge_trim: 3mm
  min_strip_width: 25mm
  fence: {min: 40mm, max: 290mm}
  blades:
    - fixed: 150mm
    - fixed: 220mm
    - moving: {min: 260mm, max: 420mm}
    - moving: {min: 310mm, max: 560mm}
`

const order = `order_id: sim-1
items:
  - {item_id: stile, width: 66mm, value: 14, min_length: 400mm, stack: "1"}
  - {item_id: rail, width: 50mm, value: 11, min_length: 400mm, stack: "2"}
  - {item_id: lip, width: 52mm, value: 10, min_length: 400mm, stack: "4"}
`

func (p *plant) start() {
	p.cmd = exec.Command(p.wherry, "run", filepath.Join(p.dir, "mapping.yaml"))
	p.cmd.Stdout, p.cmd.Stderr = p.log, p.log
	if err := p.cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
	cmd, ended := p.cmd, make(chan struct{})
	p.ended = ended
	go func() {
		_ = cmd.Wait() // most often it was killed
		close(ended)
	}()
}

func (p *plant) kill() {
	_ = p.cmd.Process.Kill()
	<-p.ended
}

// faults are what happens to a plant, and is over when they return.
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
		r, err := replicas.Launch(p.service)
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
}

// runs has the plant rip its boards, faults after each other if any, and the bridge come to
// its end.
func (p *plant) runs(seed uint64, fail bool) {
	rng := mathrand.New(mathrand.NewPCG(seed, 4))
	end := time.Now().Add(15 * time.Minute)
	for {
		if _, done := p.plc.has(); done {
			break
		}
		if time.Now().After(end) {
			p.t.Fatal("the line does not come to its end")
		}
		select {
		case <-p.ended:
			text, _ := os.ReadFile(p.log.Name())
			p.t.Fatalf("the bridge has ended: %s", text[max(len(text)-1000, 0):])
		case <-time.After(time.Duration(50+rng.IntN(800)) * time.Millisecond):
		}
		if fail {
			f := faults[rng.IntN(len(faults))]
			f.do(p, rng)
		}
	}
	time.Sleep(time.Second) // the last results are told
	_ = p.cmd.Process.Signal(syscall.SIGTERM)
	<-p.ended
}

// summary ends the run, from the books, and gives what was made of each item in metres.
func (p *plant) summary() map[string]float64 {
	b, err := books.Open(filepath.Join(p.dir, "books"), "east")
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = b.Close() }()
	if len(b.Results) > 0 || b.Unanswered != nil {
		p.t.Errorf("%d results are not told, and a message of %d bytes is not answered", len(b.Results), len(b.Unanswered))
	}
	conn, err := grpc.NewClient(p.all[0].GRPC, grpc.WithTransportCredentials(insecure.NewCredentials()))
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	ctx, cancel := context.WithTimeout(p.t.Context(), time.Minute)
	defer cancel()
	s, err := ripwrightv1.NewRipServiceClient(conn).RunLine(ctx)
	if err != nil {
		p.t.Fatal(err)
	}
	made := map[string]float64{}
	for _, m := range []*ripwrightv1.RunLineRequest{
		{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: b.State, RunId: "east"}}},
		{Sequence: b.Sequence + 1, Message: &ripwrightv1.RunLineRequest_End{End: &ripwrightv1.EndOfRun{}}},
	} {
		if err := s.Send(m); err != nil {
			p.t.Fatal(err)
		}
		a, err := s.Recv()
		if err != nil {
			p.t.Fatal(err)
		}
		for _, x := range a.GetSummary().GetItems() {
			made[x.GetItemId()] += x.GetLengthM()
		}
		if sum := a.GetSummary(); sum != nil {
			p.t.Logf("planned %d, refused %d, unconfirmed %d, %v", sum.GetPlanned(), sum.GetRefused(), sum.GetUnconfirmed(), sum.GetOutcomes())
		}
	}
	return made
}

var planned = regexp.MustCompile(`"msg":"planned".*"boot":(\d+),"number":(\d+).*"lengths":"([^"]*)"`)

// cutsOf is what the accepted cuts come to by the plans that the bridge logged.
func (p *plant) cutsOf() map[string]float64 {
	text, err := os.ReadFile(p.log.Name())
	if err != nil {
		p.t.Fatal(err)
	}
	plans := map[[2]uint32]string{}
	for _, m := range planned.FindAllStringSubmatch(string(text), -1) {
		boot, _ := strconv.ParseUint(m[1], 10, 32)
		number, _ := strconv.ParseUint(m[2], 10, 32)
		plans[[2]uint32{uint32(boot), uint32(number)}] = m[3]
	}
	// What it printed last may be lost as it was killed; what it kept is not.
	var kept struct{ Cuts []cut }
	text, err = os.ReadFile(filepath.Join(p.dir, "kept.json"))
	if err == nil {
		err = json.Unmarshal(text, &kept)
	}
	if err != nil {
		p.t.Fatal(err)
	}
	p.plc.cuts = kept.Cuts
	made := map[string]float64{}
	for _, c := range p.plc.cuts {
		if c.Wrong != "" {
			p.t.Error(c.Wrong)
		}
		if contract.Outcome(c.Outcome) != contract.AsPlanned {
			continue
		}
		for _, f := range strings.Fields(plans[[2]uint32{c.Boot, c.Number}]) {
			item, metres, _ := strings.Cut(f, "=")
			v, err := strconv.ParseFloat(metres, 64)
			if err != nil {
				p.t.Fatal(err)
			}
			made[item] += v
		}
	}
	return made
}

func agree(t *testing.T, p *plant) {
	t.Helper()
	want, got := p.cutsOf(), p.summary()
	if len(want) == 0 {
		t.Error("nothing was cut")
	}
	for item, v := range want {
		if math.Abs(got[item]-v) > 1e-6 {
			t.Errorf("%s: %v m in the service's books, %v m cut", item, got[item], v)
		}
	}
	accepted, declined := 0, map[string]int{}
	for _, c := range p.plc.cuts {
		if c.Plan != 0 {
			accepted++
		}
		if c.Declined != 0 {
			declined[contract.Reason(c.Declined).String()]++
		}
	}
	t.Logf("%d boards, %d plans accepted, declined %v", len(p.plc.cuts), accepted, declined)
}

// Made equals the accepted cuts, and no plan stands beside another board's number, whatever
// is killed, stopped and cut off.
func TestFaults(t *testing.T) {
	n := 250
	if v := os.Getenv("WHERRY_BOARDS"); v != "" {
		n, _ = strconv.Atoi(v)
	}
	p := newPlant(t, n, "Basic256Sha256")
	p.start()
	p.runs(1, true)
	agree(t, p)
	if x, _ := p.plc.has(); x < n {
		t.Errorf("%d of %d boards left", x, n)
	}
}

// How long a PLC waits for a plan, encrypted, books and solve included: printed, and held
// against nothing, since the machine is everybody's.
func TestLatency(t *testing.T) {
	p := newPlant(t, 300, "Aes256_Sha256_RsaPss")
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
