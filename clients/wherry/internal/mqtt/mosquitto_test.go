//go:build verify

package mqtt

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"math/big"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"
	"go.uber.org/zap"

	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/broker"
)

// certified writes a certificate for this machine, and its key.
func certified(t *testing.T, dir string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature}
	der, err := x509.CreateCertificate(rand.Reader, c, c, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	k, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string]*pem.Block{"broker.pem": {Type: "CERTIFICATE", Bytes: der}, "broker.key": {Type: "PRIVATE KEY", Bytes: k}} {
		if err := os.WriteFile(filepath.Join(dir, name), pem.EncodeToMemory(b), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// An independent broker, with TLS and a password, is killed repeatedly: it gets every
// message, and first deliveries in order.
func TestMosquitto(t *testing.T) {
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	certified(t, dir)
	at := broker.Address(t)
	host, port, err := net.SplitHostPort(at)
	if err != nil {
		t.Fatal(err)
	}
	file := func(name string) string { return filepath.Join(dir, name) }
	if out, err := exec.Command("mosquitto_passwd", "-b", "-c", file("passwords"), "wherry", "open").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	config := fmt.Sprintf("listener %s %s\ncertfile %s\nkeyfile %s\npassword_file %s\nallow_anonymous false\nlog_dest stderr\nlog_type all\nuser %s\n",
		port, host, file("broker.pem"), file("broker.key"), file("passwords"), "root")
	if err := os.WriteFile(file("conf"), []byte(config), 0o644); err != nil {
		t.Fatal(err)
	}
	log, err := os.Create(file("log"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = log.Close() }()
	start := func() (kill func()) {
		c := exec.Command("mosquitto", "-c", file("conf"))
		c.Stdout, c.Stderr = log, log
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		return func() {
			_ = c.Process.Kill()
			_ = c.Wait()
		}
	}
	p, err := Open(Config{URL: "mqtts://" + at, CA: file("broker.pem"), ClientID: "wherry-east", User: "wherry", Password: "open", Topic: "saws/east", RunID: "east",
		Queue: file("queue"), Most: 10_000, Log: zap.NewNop(), Registry: prometheus.NewRegistry()})
	if err != nil {
		t.Fatal(err)
	}
	end := runs(t, p)
	connected := func() bool { return testutil.ToFloat64(p.metrics.connected) == 1 }
	const n = 600
	kill := start()
	for i := range n {
		p.Tell(handover.Board{}, filled(fmt.Sprint("i", i), i+1))
		time.Sleep(2 * time.Millisecond)
		if i%150 == 100 {
			until(t, "there is a connection to break", connected)
			kill()
			time.Sleep(100 * time.Millisecond)
			kill = start()
		}
	}
	until(t, "all are acknowledged", func() bool { return p.queue.waiting() == 0 && testutil.ToFloat64(p.metrics.sent) >= n })
	end()
	time.Sleep(100 * time.Millisecond)
	kill()
	text, err := os.ReadFile(file("log"))
	if err != nil {
		t.Fatal(err)
	}
	came, all := map[string]bool{}, 0
	for _, m := range regexp.MustCompile(`Received PUBLISH from wherry-east \(d\d, q1, r1, m\d+, 'saws/east/fill/i(\d+)'`).FindAllStringSubmatch(string(text), -1) {
		if all++; !came[m[1]] && m[1] != fmt.Sprint(len(came)) {
			t.Fatalf("message %s is the first after %d others", m[1], len(came))
		}
		came[m[1]] = true
	}
	if len(came) != n {
		t.Errorf("%d of %d messages arrived", len(came), n)
	}
	if !strings.Contains(string(text), "Sending PUBACK to wherry-east") || strings.Count(string(text), "New client connected") < 2 {
		t.Error("the broker's log lacks the expected lines")
	}
	t.Logf("%d messages, %d more than once, over %d connections", len(came), all-len(came), strings.Count(string(text), "New client connected"))
}
