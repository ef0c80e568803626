package main

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
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

// check reports that a mapping fits, or what does not, and the weaknesses of Modbus.
func TestCheck(t *testing.T) {
	s := registers.Serve(t, standin.New(1, 1))
	if out, err := said(t, "check", "--without-security", mapped(t, s, nil)); err != nil || !strings.Contains(out, "the mapping fits the PLC") {
		t.Errorf("%s %v", out, err)
	}
	if out, err := said(t, "check", mapped(t, s, nil)); err == nil || !strings.Contains(err.Error(), "--without-security") {
		t.Errorf("%s %v", out, err)
	}
	out, err := said(t, "check", "--without-security", mapped(t, s, map[string]string{contract.PlanFence: "60000 REAL"}))
	if err == nil || !strings.Contains(out, "plan_fence: 60000 REAL lies in registers 60000 to 60001, which the PLC refuses") {
		t.Errorf("%s %v", out, err)
	}
	if out, err := said(t, "check", "--without-security", mapped(t, s, map[string]string{contract.Boot: "1 UINT"})); err == nil || !strings.Contains(err.Error(), "words.boot: is UINT") {
		t.Errorf("%s %v", out, err)
	}
}
