package mapping

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// whole is a mapping in which nothing is wrong.
func whole() string {
	s := "run: east\nbooks: books\nsaw_name: heron\norder_file: order.yaml\nservice:\n  addresses: [127.0.0.1:7420]\n" +
		"plc:\n  unit: in\n  opcua:\n    endpoint: opc.tcp://10.0.0.5:4840\n    namespace: urn:plant.example:saw\nwords:\n"
	for _, w := range contract.Words {
		s += "  " + w.Name + ": s=Hand." + w.Name + "\n"
	}
	return s
}

func read(t *testing.T, text string) (*Mapping, error) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "mapping.yaml")
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return Read(name)
}

func TestWhole(t *testing.T) {
	m, err := read(t, whole())
	if err != nil {
		t.Fatal(err)
	}
	c, err := m.Config(true)
	if err != nil || c.Unit != 25.4 || c.Words[contract.Boot] != "s=Hand.boot" || !filepath.IsAbs(m.Books) || m.PLC.Slots != 16 {
		t.Errorf("%+v %v", c, err)
	}
}

// What is wrong is named by its field, and what was meant is guessed at.
func TestFaults(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"run: east\n", "", "run: is needed"},
		{"saw_name: heron\n", "", "saw_name, saw_file: one of them"},
		{"  near: s=Hand.near\n", "  neer: s=Hand.near\n", "words.neer: is no word of the hand-over; did you mean near?"},
		{"  near: s=Hand.near\n", "", "words.near: is needed: the edge at the fence"},
		{"unit: in", "unit: inch", `plc.unit: is "inch", and has to be mm`},
		{"unit: in", "slots: 20", "plc.slots: is 20, and has to be 16, 32, 64"},
		{"unit: in", "poll_ms: 0", "plc.poll_ms: is 0, and has to be 1 to 1000"},
		{"unit: in", "poll_ms: .nan", "plc.poll_ms: is NaN"},
		{"    namespace:", "    policy: Basic128Rsa15\n    namespace:", `plc.opcua.policy: is "Basic128Rsa15", and has to be one of Basic256Sha256`},
		{"    namespace:", "    policy: Basic256Sha256\n    namespace:", "plc.opcua.server_certificate: is needed"},
		{"books: books", "book: books", "unknown field \"book\""},
	} {
		text := strings.Replace(whole(), c.from, c.to, 1)
		if text == whole() {
			t.Fatalf("%q is not there", c.from)
		}
		if _, err := read(t, text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q for %q: %v", c.to, c.from, err)
		}
	}
}
