package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/broker"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/registers"
)

const (
	saw   = "- {name: heron, kerf: 3.6mm, step: 0.5mm, min_gap: 30mm, fence: {min: 40mm, max: 290mm}, blades: [{fixed: 150mm}, {fixed: 220mm}]}\n"
	order = "order_id: o\nitems:\n  - {item_id: stile, width: 66mm, value: 14}\n"
)

// mapped writes a mapping of a PLC's registers, and gives its name.
func mapped(t *testing.T, s *registers.Server, but map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	words := ""
	for _, name := range slices.Sorted(maps.Keys(s.Words)) {
		at := s.Words[name]
		if b, ok := but[name]; ok {
			at = b
		}
		words += fmt.Sprintf("  %s: %s\n", name, at)
	}
	mapping := fmt.Sprintf("run: east\nbooks: books\nservice: {addresses: ['127.0.0.1:1']}\nsaw_file: saw.yaml\norder_file: order.yaml\nplc:\n  modbus: {address: '%s', order: CDAB}\nwords:\n%s", s.Address, words)
	for name, text := range map[string]string{"mapping.yaml": mapping, "saw.yaml": saw, "order.yaml": order} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, "mapping.yaml")
}

func said(t *testing.T, args ...string) (string, error) {
	t.Helper()
	c := command()
	var out bytes.Buffer
	c.SetOut(&out)
	c.SetErr(&out)
	c.SetArgs(args)
	err := c.ExecuteContext(t.Context())
	return out.String(), err
}

// check says that a mapping fits, or what does not, and what Modbus lacks.
func TestCheck(t *testing.T) {
	s := registers.Serve(t, standin.New(1, 1))
	if out, err := said(t, "check", "--without-security", mapped(t, s, nil)); err != nil || !strings.Contains(out, "the mapping fits the PLC") {
		t.Errorf("%s %v", out, err)
	}
	if out, err := said(t, "check", mapped(t, s, nil)); err == nil || !strings.Contains(err.Error(), "--without-security") {
		t.Errorf("%s %v", out, err)
	}
	out, err := said(t, "check", "--without-security", mapped(t, s, map[string]string{contract.PlanFence: "60000 REAL"}))
	if err == nil || !strings.Contains(out, "plan_fence: 60000 REAL the PLC refuses registers 60000 to 60001") {
		t.Errorf("%s %v", out, err)
	}
	if out, err := said(t, "check", "--without-security", mapped(t, s, map[string]string{contract.Boot: "1 UINT"})); err == nil || !strings.Contains(err.Error(), "words.boot: is a UINT") {
		t.Errorf("%s %v", out, err)
	}
}

// run tells displays how the line stands, though no service answers, and that it has ended;
// what it cannot do without is said before it begins.
func TestRun(t *testing.T) {
	p := standin.New(1, 1)
	stop := make(chan struct{})
	p.Scans = func() (standin.Scan, bool) { <-stop; return standin.Scan{}, false }
	lives := make(chan struct{})
	go func() {
		defer close(lives)
		p.Run(1)
	}()
	defer func() {
		close(stop)
		<-lives
	}()
	name := mapped(t, registers.Serve(t, p), nil)
	at, e := broker.Address(t), &broker.Ears{}
	broker.Opens(t, at, e, 0)
	f, err := os.OpenFile(name, os.O_APPEND|os.O_WRONLY, 0o600)
	if err == nil {
		_, err = fmt.Fprintf(f, "mqtt: {url: 'mqtt://%s', topic: saws/east, user: %s, password_file: word}\n", at, broker.User)
	}
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	if out, err := said(t, "run", "--without-security", name); err == nil || !strings.Contains(err.Error(), "mqtt.password_file") {
		t.Errorf("%s %v", out, err)
	}
	if err := os.WriteFile(filepath.Join(filepath.Dir(name), "word"), []byte(broker.Password+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() {
		c := command()
		c.SetArgs([]string{"run", "--without-security", name})
		done <- c.ExecuteContext(ctx)
	}()
	const stands = `{"kind":"state","run":"east","running":true,"plc":true,"service":false}`
	for late := time.Now().Add(20 * time.Second); !slices.Contains(e.Heard("saws/east/state"), stands); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(late) {
			t.Fatal(e.Heard("saws/east/state"))
		}
	}
	end()
	if err := <-done; err != nil {
		t.Error(err)
	}
	e.Bye(t)
	if l := e.Heard("saws/east/state"); l[len(l)-1] != `{"kind":"state","run":"east","running":false,"plc":false,"service":false}` {
		t.Error(l)
	}
}
