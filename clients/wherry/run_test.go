//go:build verify

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/broker"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin/registers"
)

// run publishes the state of the line even if no service answers, and its end; missing
// prerequisites are reported before it starts.
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
