// Package mapping reads the file that maps the contract's words to a PLC.
package mapping

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/goccy/go-yaml"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/modbus"
	"github.com/ripwright/ripwright/clients/wherry/internal/opcua"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	"github.com/ripwright/ripwright/proto/nearest"
)

// Mapping is the content of the file. Paths are relative to it.
type Mapping struct {
	Run            string            `yaml:"run"`
	Books          string            `yaml:"books"`
	Service        Service           `yaml:"service"`
	SawName        string            `yaml:"saw_name"`
	SawFile        string            `yaml:"saw_file"`
	OrderFile      string            `yaml:"order_file"`
	BoardsInFlight int32             `yaml:"boards_in_flight"`
	TurnBoards     bool              `yaml:"turn_boards"`
	Metrics        string            `yaml:"metrics"`
	PLC            PLC               `yaml:"plc"`
	Words          map[string]string `yaml:"words"`
	MQTT           *MQTT             `yaml:"mqtt"`
}

// Service says where the service is.
type Service struct {
	Addresses      []string `yaml:"addresses"`
	TLS            bool     `yaml:"tls"`
	CA             string   `yaml:"ca"`
	TokenFile      string   `yaml:"token_file"`
	AnswerWithinMs float64  `yaml:"answer_within_ms"`
}

// PLC says how to reach the PLC.
type PLC struct {
	Unit        string  `yaml:"unit"`
	Slots       int     `yaml:"slots"`
	PollMs      float64 `yaml:"poll_ms"`
	BeatMs      float64 `yaml:"beat_ms"`
	DeadAfterMs float64 `yaml:"dead_after_ms"`
	TimeoutMs   float64 `yaml:"timeout_ms"`
	OPCUA       *OPCUA  `yaml:"opcua"`
	Modbus      *Modbus `yaml:"modbus"`
}

// OPCUA is the connection to a PLC by OPC UA.
type OPCUA struct {
	Endpoint          string `yaml:"endpoint"`
	Policy            string `yaml:"policy"`
	Certificate       string `yaml:"certificate"`
	Key               string `yaml:"key"`
	ServerCertificate string `yaml:"server_certificate"`
	User              string `yaml:"user"`
	PasswordFile      string `yaml:"password_file"`
	Namespace         string `yaml:"namespace"`
}

// Policies are the security policies to choose from.
var Policies = []string{"Basic256Sha256", "Aes128_Sha256_RsaOaep", "Aes256_Sha256_RsaPss"}

// units of length by their names, in mm.
var units = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8, "um": 0.001}

// Read reads a mapping. The error names every field that is wrong.
func Read(name string) (*Mapping, error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	m := &Mapping{BoardsInFlight: 16, Service: Service{AnswerWithinMs: 250},
		PLC: PLC{Unit: "mm", Slots: 16, PollMs: 5, BeatMs: 100, DeadAfterMs: 1000, TimeoutMs: 1000}}
	if err := yaml.NewDecoder(bytes.NewReader(text), yaml.DisallowUnknownField()).Decode(m); err != nil && !errors.Is(err, io.EOF) { // in an empty file everything is missing
		return nil, fmt.Errorf("%s: %s", name, yaml.FormatError(err, false, true))
	}
	if m.MQTT != nil {
		m.MQTT.defaults(m.Run)
	}
	if m.PLC.Modbus != nil {
		m.PLC.Modbus.defaults()
	}
	m.beside(filepath.Dir(name))
	if err := m.faults(); err != nil {
		return nil, fmt.Errorf("%s:\n%w", name, err)
	}
	return m, nil
}

// beside makes relative paths relative to the mapping.
func (m *Mapping) beside(dir string) {
	all := []*string{&m.Books, &m.SawFile, &m.OrderFile, &m.Service.CA, &m.Service.TokenFile}
	if o := m.PLC.OPCUA; o != nil {
		all = append(all, &o.Certificate, &o.Key, &o.ServerCertificate, &o.PasswordFile)
	}
	if m.MQTT != nil {
		all = append(all, &m.MQTT.PasswordFile, &m.MQTT.CA)
	}
	for _, f := range all {
		if *f != "" && !filepath.IsAbs(*f) {
			*f = filepath.Join(dir, *f)
		}
	}
}

func (m *Mapping) faults() error {
	var all []error
	wrong := func(field, says string, args ...any) {
		all = append(all, fmt.Errorf("  %s: %s", field, fmt.Sprintf(says, args...)))
	}
	needed := func(field, v, says string) {
		if v == "" {
			wrong(field, "is needed: %s", says)
		}
	}
	between := func(field string, v, low, high float64) {
		if !(v >= low && v <= high) {
			wrong(field, "is %v; must be %v to %v", v, low, high)
		}
	}
	needed("run", m.Run, "the name of the run")
	needed("books", m.Books, "the folder of the books")
	needed("order_file", m.OrderFile, "the cut order")
	if (m.SawName == "") == (m.SawFile == "") {
		wrong("saw_name, saw_file", "exactly one must be given: the name of a saw that the service knows, or a file with one saw")
	}
	if len(m.Service.Addresses) == 0 {
		wrong("service.addresses", "are needed: host:port of every replica")
	}
	between("service.answer_within_ms", m.Service.AnswerWithinMs, 1, 60_000)
	between("boards_in_flight", float64(m.BoardsInFlight), 1, 64)
	if _, ok := units[m.PLC.Unit]; !ok {
		wrong("plc.unit", "is %q; must be mm, cm, m, in, ft or um", m.PLC.Unit)
	}
	if s := m.PLC.Slots; s < 16 || s > 4096 || s&(s-1) != 0 {
		wrong("plc.slots", "is %d; must be a power of two, 16 to 4096", s)
	}
	between("plc.poll_ms", m.PLC.PollMs, 1, 1000)
	between("plc.beat_ms", m.PLC.BeatMs, 10, 10_000)
	between("plc.dead_after_ms", m.PLC.DeadAfterMs, 100, 60_000)
	between("plc.timeout_ms", m.PLC.TimeoutMs, 50, 60_000)
	switch o, b := m.PLC.OPCUA, m.PLC.Modbus; {
	case (o == nil) == (b == nil):
		wrong("plc.opcua, plc.modbus", "exactly one must be given")
	case o != nil:
		o.faults(wrong, needed)
	default:
		m.modbus(wrong, needed)
	}
	if m.MQTT != nil {
		m.MQTT.faults(wrong, needed)
		between("mqtt.most_waiting", float64(m.MQTT.MostWaiting), 1, 100_000)
		between("mqtt.yield_every_s", m.MQTT.YieldEveryS, 1, 86_400)
	}
	for name := range m.Words {
		if _, ok := contract.Named(name); !ok {
			wrong("words."+name, "is not a word of the hand-over%s", meant(name))
		}
	}
	for _, w := range contract.Words {
		if !w.Optional {
			needed("words."+w.Name, m.Words[w.Name], w.Says)
		}
	}
	if m.TurnBoards {
		needed("words."+contract.PlanTurn, m.Words[contract.PlanTurn], "turn_boards lets plans turn a board, and the PLC must be told how")
	}
	slices.SortStableFunc(all, func(a, b error) int { return strings.Compare(a.Error(), b.Error()) })
	return errors.Join(all...)
}

func (o *OPCUA) faults(wrong func(string, string, ...any), needed func(string, string, string)) {
	needed("plc.opcua.endpoint", o.Endpoint, "opc.tcp://host:port")
	needed("plc.opcua.namespace", o.Namespace, "the URI of the words' namespace")
	if o.Policy == "" {
		return
	}
	if !slices.Contains(Policies, o.Policy) {
		wrong("plc.opcua.policy", "is %q; must be one of %s", o.Policy, strings.Join(Policies, ", "))
	}
	needed("plc.opcua.certificate", o.Certificate, "the bridge's certificate")
	needed("plc.opcua.key", o.Key, "the key of the bridge's certificate")
	needed("plc.opcua.server_certificate", o.ServerCertificate, "the PLC's certificate, saved when the PLC was commissioned")
}

// meant gives the nearest word, if there is one.
func meant(name string) string {
	var all []string
	for _, w := range contract.Words {
		all = append(all, w.Name)
	}
	if best := nearest.Name(name, all); best != "" {
		return "; did you mean " + best + "?"
	}
	return ""
}

// Dial connects to the PLC. A connection without security must be allowed.
func (m *Mapping) Dial(ctx context.Context, unsecured bool) (plc.PLC, error) {
	if m.PLC.Modbus != nil {
		return modbus.Dial(ctx, m.registers(unsecured))
	}
	c, err := m.nodes(unsecured)
	if err != nil {
		return nil, err
	}
	return opcua.Dial(ctx, c)
}

// nodes gives the configuration for OPC UA.
func (m *Mapping) nodes(unsecured bool) (opcua.Config, error) {
	o := m.PLC.OPCUA
	c := opcua.Config{Endpoint: o.Endpoint, Policy: o.Policy, Unsecured: unsecured, Certificate: o.Certificate, Key: o.Key, Server: o.ServerCertificate,
		User: o.User, Namespace: o.Namespace, Words: m.Words, Unit: units[m.PLC.Unit], Slots: m.PLC.Slots, Timeout: Ms(m.PLC.TimeoutMs)}
	if o.PasswordFile != "" {
		text, err := os.ReadFile(o.PasswordFile)
		if err != nil {
			return c, fmt.Errorf("plc.opcua.password_file: %w", err)
		}
		c.Password = strings.TrimRight(string(text), "\r\n")
	}
	return c, nil
}

// Ms converts milliseconds to a duration.
func Ms(v float64) time.Duration { return time.Duration(v * float64(time.Millisecond)) }
