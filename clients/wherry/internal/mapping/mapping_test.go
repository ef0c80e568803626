package mapping

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// whole is a mapping without errors.
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
	c, err := m.nodes(true)
	if err != nil || c.Unit != 25.4 || c.Words[contract.Boot] != "s=Hand.boot" || !filepath.IsAbs(m.Books) || m.PLC.Slots != 16 {
		t.Errorf("%+v %v", c, err)
	}
}

// byRegisters is a mapping by Modbus without errors.
func byRegisters() string {
	s := "run: east\nbooks: books\nsaw_name: heron\norder_file: order.yaml\nservice:\n  addresses: [127.0.0.1:7420]\n" +
		"plc:\n  modbus: {address: '10.0.0.5:502', order: cdab}\nwords:\n"
	at := 0
	for _, w := range contract.Words {
		kind := map[contract.Kind]string{contract.Number: "UDINT", contract.Numbers: "UDINT 16", contract.Real: "REAL", contract.Reals: "REAL 64", contract.Text: "STRING 24"}[w.Kind]
		s += fmt.Sprintf("  %s: %d %s\n", w.Name, at, kind)
		at += 128
	}
	return s
}

func TestModbus(t *testing.T) {
	m, err := read(t, byRegisters())
	if err != nil {
		t.Fatal(err)
	}
	if c := m.registers(true); c.UnitID != 1 || c.Order != "CDAB" || c.Unit != 1 || c.Slots != 16 || c.Timeout != time.Second {
		t.Errorf("%+v", c)
	}
	for _, c := range []struct{ from, to, want string }{
		{"order: cdab", "order: ACBD", `plc.modbus.order: is "ACBD"; must be one of ABCD`},
		{"10.0.0.5:502", "10.0.0.5", "plc.modbus.address: is"},
		{"'10.0.0.5:502'", "''", "plc.modbus.address: is needed"},
		{"boot: 0 UDINT", "boot: 0 UINT", "words.boot: is UINT"},
		{"boot: 0 UDINT", "boot: 128 UDINT", "words.life: begins at register 128, which boot also has"},
		{"boot: 0 UDINT", "boot: 0", "words.boot: is \"0\"; must be REGISTER TYPE"},
		{"plc:\n", "plc:\n  opcua: {endpoint: x, namespace: y}\n", "plc.opcua, plc.modbus: exactly one"},
		{"order: cdab", "unit_id: 300", "unit_id"},
	} {
		text := strings.Replace(byRegisters(), c.from, c.to, 1)
		if _, err := read(t, text); text == byRegisters() || err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q for %q: %v", c.to, c.from, err)
		}
	}
	if _, err := read(t, ""); err == nil || !strings.Contains(err.Error(), "run: is needed") || !strings.Contains(err.Error(), "words.boot: is needed") {
		t.Error(err)
	}
	bare := strings.Replace(whole(), "  plan_turn: s=Hand.plan_turn\n", "", 1)
	if _, err := read(t, bare); err != nil {
		t.Error(err)
	}
	if _, err := read(t, "turn_boards: true\n"+bare); err == nil || !strings.Contains(err.Error(), "words.plan_turn: is needed: turn_boards") {
		t.Error(err)
	}
}

// A broker gets defaults for what was left out, and its queue is in the folder of the
// books.
func TestBroker(t *testing.T) {
	m, err := read(t, whole()+"mqtt: {url: mqtts://broker.example:8883, topic: saws/east, user: wherry, password_file: word}\n")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := m.Publishing(); err == nil || !strings.Contains(err.Error(), "mqtt.password_file") {
		t.Errorf("%v", err)
	}
	if err := os.WriteFile(m.MQTT.PasswordFile, []byte("open sesame\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c, err := m.Publishing()
	if err != nil || c.ClientID != "wherry-east" || c.Password != "open sesame" || c.Most != 10_000 || c.Queue != filepath.Join(m.Books, "mqtt") || m.YieldEvery() != 10*time.Second {
		t.Errorf("%+v %v", c, err)
	}
}

// Errors in a broker are named by field.
func TestBrokerFaults(t *testing.T) {
	for broker, want := range map[string]string{
		"{topic: t}":                                               "mqtt.url: is needed",
		"{url: 'mqtt://h:1'}":                                      "mqtt.topic: is needed",
		"{url: 'http://h:1', topic: t}":                            "mqtt.url: must be mqtt://host:port",
		"{url: 'mqtt://h', topic: t}":                              "mqtt.url: must be mqtt://host:port",
		"{url: 'mqtts://a:b@h:1', topic: t}":                       "mqtt.url: must not contain a user",
		"{url: 'mqtt://h:1', topic: 'a/#'}":                        "mqtt.topic: is \"a/#\"",
		"{url: 'mqtt://h:1', topic: $SYS}":                         "mqtt.topic: is",
		"{url: 'mqtt://h:1', topic: t, ca: x}":                     "mqtt.ca: needs mqtts://",
		"{url: 'mqtts://h:1', topic: t, password_file: x}":         "mqtt.user: is needed",
		"{url: 'mqtt://h:1', topic: t, user: u, password_file: x}": "mqtt.password_file: the password would be sent unencrypted to h:1",
		"{url: 'mqtt://h:1', topic: t, most_waiting: -1}":          "mqtt.most_waiting: is -1; must be 1 to 100000",
		"{url: 'mqtt://h:1', topic: t, yield_every_s: .nan}":       "mqtt.yield_every_s: is NaN",
		"{url: 'mqtt://h:1', topics: t}":                           "unknown field \"topics\"",
	} {
		if _, err := read(t, whole()+"mqtt: "+broker+"\n"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", broker, err, want)
		}
	}
	if _, err := read(t, whole()+"mqtt: {url: 'mqtt://127.0.0.1:1', topic: t, user: u, password_file: x}\n"); err != nil {
		t.Error(err)
	}
}

// Errors are named by field, with the nearest valid name.
func TestFaults(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"run: east\n", "", "run: is needed"},
		{"saw_name: heron\n", "", "saw_name, saw_file: exactly one"},
		{"  near: s=Hand.near\n", "  neer: s=Hand.near\n", "words.neer: is not a word of the hand-over; did you mean near?"},
		{"  near: s=Hand.near\n", "", "words.near: is needed: the edge at the fence"},
		{"unit: in", "unit: inch", `plc.unit: is "inch"; must be mm`},
		{"unit: in", "slots: 20", "plc.slots: is 20; must be a power of two, 16 to 4096"},
		{"unit: in", "poll_ms: 0", "plc.poll_ms: is 0; must be 1 to 1000"},
		{"unit: in", "poll_ms: .nan", "plc.poll_ms: is NaN"},
		{"    namespace:", "    policy: Basic128Rsa15\n    namespace:", `plc.opcua.policy: is "Basic128Rsa15"; must be one of Basic256Sha256`},
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
