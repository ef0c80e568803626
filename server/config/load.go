package config

import (
	"errors"
	"fmt"
	"net"

	"github.com/goccy/go-yaml"
	"github.com/knadh/koanf/providers/confmap"
	"github.com/knadh/koanf/providers/rawbytes"
	"github.com/knadh/koanf/v2"

	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/textfile"
)

// Loaded is a configuration and the origin of each setting.
type Loaded struct {
	Config

	from map[string]string // by setting; absent: the default
}

// Load reads the settings of a call from its flags, environ and the file that one of them
// names. The error is a Faults with all that is wrong; whatever is right is loaded all
// the same.
func (c *Call) Load(environ []string) (*Loaded, error) {
	l := &Loaded{Config: Default(), from: map[string]string{}}
	vars, file := environment(environ)
	given := configVar
	if c.file != "" {
		file, given = c.file, "--config"
	}

	// From the lowest rank to the highest: each layer overwrites the one before.
	var faults Faults
	if file != "" {
		k, wrong := readFile(file, given)
		if faults = wrong; k != nil {
			faults = l.take(layer{k, file + ": ", func(name string) string { return name }})
		}
	}
	faults = append(faults, l.take(layer{vars, "", variable})...)
	faults = append(faults, l.take(layer{fromMap(c.flags), "", flag})...)
	faults = append(faults, l.together()...)
	if len(faults) > 0 {
		return l, faults
	}
	if l.SearchMemory == 0 {
		l.SearchMemory = int(memory.Searches(l.Searches()))
	}
	return l, nil
}

// together checks what only several settings together can get wrong.
func (l *Loaded) together() (faults Faults) {
	if _, port, err := net.SplitHostPort(l.HTTP); err == nil && port != "0" && l.HTTP == l.GRPC {
		faults.add(l.Origin("http"), "is %q, the same as %s; must be a different address", l.HTTP, l.Origin("grpc"))
	}
	for _, name := range []string{"grpc", "http"} {
		if _, port, err := net.SplitHostPort(l.Health); err == nil && port != "0" && l.Health == l.value(name) {
			faults.add(l.Origin("health"), "is %q, the same as %s; must be a different address", l.Health, l.Origin(name))
		}
	}
	if l.RefuseWidth < l.DoubtWidth {
		faults.add(l.Origin("refuse-width"), "is %g; must not be below doubt-width, which is %g", l.RefuseWidth, l.DoubtWidth)
	}
	if l.RefuseLength < l.DoubtLength {
		faults.add(l.Origin("refuse-length"), "is %g; must not be below doubt-length, which is %g", l.RefuseLength, l.DoubtLength)
	}
	if l.HealthMetrics && l.Health == "" {
		faults.add(l.Origin("health-metrics"), "needs health to be set")
	}
	if l.HealthProfiles && l.Health == "" {
		faults.add(l.Origin("health-profiles"), "needs health to be set")
	}
	if (l.Cert == "") != (l.Key == "") {
		faults.add(l.Origin("tls-cert"), "and %s go together; set both or neither", l.Origin("tls-key"))
	}
	if l.Clients != "" && l.Cert == "" {
		faults.add(l.Origin("tls-client-ca"), "needs tls-cert and tls-key to be set")
	}
	for _, name := range []string{"grpc", "http"} {
		address, _ := l.value(name).(string)
		if isAddress(address) && !loopback(address) && l.Cert == "" && !l.Plaintext {
			faults.add(l.Origin(name), "is %q, which other machines can reach; set tls-cert and tls-key, or plaintext if a network of your own protects it", address)
		}
	}
	return faults
}

// loopback reports whether only this machine can connect to an address.
func loopback(address string) bool {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return false
	}
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// Searches is how many may run at once.
func (c *Config) Searches() int { return c.Solves + c.PlanWorkers }

// Open reports whether others can reach the service without TLS.
func (c *Config) Open() bool { return c.Cert == "" && (!loopback(c.GRPC) || !loopback(c.HTTP)) }

// Origin names the flag, variable or file key that a setting came from.
func (l *Loaded) Origin(name string) string {
	if s, ok := l.from[name]; ok {
		return s
	}
	return "the default of " + name
}

// given reports whether a setting was set anywhere.
func (l *Loaded) given(name string) bool { _, ok := l.from[name]; return ok }

// mostFile bounds a file of settings in bytes.
const mostFile = 64 << 10

// readFile reads a file of settings; faults of the file as a whole have from as their
// origin unless they have a line.
func readFile(file, from string) (*koanf.Koanf, Faults) {
	raw, err := textfile.Read(file, mostFile)
	if err != nil {
		return nil, Faults{{from, err.Error()}}
	}
	if err := textfile.YAML(raw); err != nil {
		return nil, Faults{{file, err.Error()}}
	}
	k := koanf.New(delimiter)
	err = k.Load(rawbytes.Provider(raw), parser{})
	var wrong yaml.Error
	if errors.As(err, &wrong) {
		return nil, Faults{{fmt.Sprintf("%s:%d", file, wrong.GetToken().Position.Line), wrong.GetMessage()}}
	} else if err != nil {
		return nil, Faults{{file, err.Error()}}
	}
	return k, nil
}

// parser lets koanf read YAML with the library that reads the saw file, whose errors give
// the line.
type parser struct{}

func (parser) Unmarshal(raw []byte) (m map[string]any, err error) {
	return m, yaml.Unmarshal(raw, &m)
}

func (parser) Marshal(m map[string]any) ([]byte, error) { return yaml.Marshal(m) }

func fromMap(m map[string]any) *koanf.Koanf {
	k := koanf.New(delimiter)
	_ = k.Load(confmap.Provider(m, ""), nil) // loading a map from memory cannot fail
	return k
}

func flag(name string) string { return "--" + name }
