//go:build verify

// Package e2e runs wherry as a process between a PLC that node-opcua serves, in another
// process and with security, and two replicas of the service, and kills, stops and cuts
// off each of them at random.
package e2e

import (
	"cmp"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	mathrand "math/rand/v2"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/internal/proxy"
	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// programs are the service and wherry, built once.
var programs struct{ service, wherry string }

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "wherry-plant-")
	if err == nil {
		programs.service, err = replicas.Build(dir)
	}
	if err == nil {
		programs.wherry = filepath.Join(dir, "wherry")
		var out []byte
		if out, err = exec.Command("go", "build", "-C", "../..", "-trimpath", "-o", programs.wherry, ".").CombinedOutput(); err != nil {
			err = fmt.Errorf("%w: %s", err, out)
		}
	}
	if err == nil && os.Getenv("WHERRY_MODULES") == "" {
		err = errors.New("WHERRY_MODULES must be the folder where npm installed node-opcua")
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	status := m.Run()
	_ = os.RemoveAll(dir)
	os.Exit(status)
}

// certificate makes a certificate for OPC UA, and its key.
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

// plant is a PLC, two replicas behind a failing network, and a bridge.
type plant struct {
	t      *testing.T
	boards int
	dir    string
	plc    *plc
	line   *proxy.Proxy // between bridge and PLC
	sites  []*proxy.Proxy
	all    []*replicas.Replica
	screen *screen // the broker of displays; nil: none
	cmd    *exec.Cmd
	ended  chan struct{} // closed once cmd has ended
	log    *os.File
	// declined is the number of declined boards by reason, once the books agree.
	declined map[string]int
}

// wants are the settings of a plant.
type wants struct {
	boards   int
	policy   string   // default: Basic256Sha256
	plc      []string // arguments of its PLC
	lacks    []string // words that the mapping lacks
	displays bool     // there is a broker to publish to
	slots    int      // of the mapping
}

func newPlant(t *testing.T, w wants) *plant {
	t.Helper()
	p := &plant{t: t, boards: w.boards, dir: t.TempDir()}
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
	boards(t, filepath.Join(p.dir, "boards.jsonl"), w.boards)
	p.plc = &plc{t: t, dir: p.dir, port: free(t), args: []string{"--boards", filepath.Join(p.dir, "boards.jsonl"), "--secured", "--folder", pki, "--between", "20"}}
	p.plc.args = append(p.plc.args, w.plc...)
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
		r, err := replicas.Launch(programs.service)
		if err != nil {
			t.Fatal(err)
		}
		p.all = append(p.all, r)
		p.sites = append(p.sites, proxy.New(t))
		p.sites[i].Point(r.GRPC)
		t.Cleanup(func() { p.all[i].Kill() })
	}
	if w.displays {
		p.screen = newScreen(t, p.dir)
	}
	p.files(&w)
	if p.log, err = os.Create(filepath.Join(p.dir, "log")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.log.Close() })
	return p
}

// files writes mapping, saw and order.
func (p *plant) files(want *wants) {
	words := ""
	for _, w := range contract.Words {
		if w.Name != contract.Thickness && w.Name != contract.PlanTurn && w.Name != contract.PlanSkew && !slices.Contains(want.lacks, w.Name) {
			words += "  " + w.Name + ": s=Hand." + w.Name + "\n"
		}
	}
	mapping := fmt.Sprintf("run: east\nbooks: books\nservice:\n  addresses: [%s, %s]\n  answer_within_ms: 500\nsaw_file: saw.yaml\norder_file: order.yaml\nmetrics: 127.0.0.1:0\n"+
		"plc:\n  slots: %d\n  timeout_ms: 500\n  dead_after_ms: 500\n  opcua:\n    endpoint: opc.tcp://%s/saw\n    namespace: urn:plant.example:saw\n    policy: %s\n    certificate: wherry.pem\n    key: wherry.key\n    server_certificate: pki/own/own/certs/certificate.pem\nwords:\n%s",
		p.sites[0].At, p.sites[1].At, max(want.slots, 16), p.line.At, cmp.Or(want.policy, "Basic256Sha256"), words)
	if p.screen != nil {
		mapping += fmt.Sprintf("mqtt: {url: 'mqtt://%s', topic: saws/east, yield_every_s: 1}\n", p.screen.wire.At)
	}
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
	p.cmd = exec.Command(programs.wherry, "run", filepath.Join(p.dir, "mapping.yaml"))
	p.cmd.Stdout, p.cmd.Stderr = p.log, p.log
	if err := p.cmd.Start(); err != nil {
		p.t.Fatal(err)
	}
	cmd, ended := p.cmd, make(chan struct{})
	p.ended = ended
	go func() {
		_ = cmd.Wait() // usually it was killed
		close(ended)
	}()
}

func (p *plant) kill() {
	_ = p.cmd.Process.Kill()
	<-p.ended
}

// runs has the plant rip its boards, with one fault after another if fail is set, and
// ends the bridge.
func (p *plant) runs(seed uint64, fail bool) {
	rng := mathrand.New(mathrand.NewPCG(seed, 4))
	end := time.Now().Add(5*time.Minute + time.Duration(p.boards)*4*time.Second)
	for {
		if _, done := p.plc.has(); done {
			break
		}
		if time.Now().After(end) {
			p.t.Fatal("the line does not end")
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
	time.Sleep(time.Second) // the last results are sent
	_ = p.cmd.Process.Signal(syscall.SIGTERM)
	<-p.ended
}
