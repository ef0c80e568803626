package config

import (
	"fmt"
	"io"
	"time"

	"github.com/goccy/go-yaml"
)

// Help describes all settings.
func Help(w io.Writer) error {
	p := &printer{w: w}
	p.line(`The Ripwright service: board profiles and cut orders in, proven rip plans out.

Usage: server [flags]`)
	group := ""
	standard := Default()
	for _, s := range settings {
		if s.group != group {
			group = s.group
			p.line("\n%s", group)
		}
		p.line("  --%-25s %s", s.name+" "+s.arg, s.about)
		p.line("  %-27s (default %s)", "", s.shown(&standard))
	}
	p.line(`
Configuration
  --config FILE               YAML file of settings; or name it in %s
  --check                     say what is wrong with the settings and the files they name, and end
  --print-config              show every setting and where it came from, and end
  --probe                     ask the service that runs here with these settings whether it is ready, and end
  --version                   say which release this is, and end
  -h, --help                  this

The setting longest-solve is the flag --longest-solve, the variable
RIPWRIGHT_LONGEST_SOLVE and the key longest-solve of the file. Flags outrank
variables, variables outrank the file, the file outranks the defaults. Times have
a unit: 500ms, 2s, 1m30s.

Signals
  SIGTERM, SIGINT             drain and end; the second one ends at once
  SIGHUP                      read the saw, TLS and token files and open the recording anew

Exit status
  0  ended as asked, drained; or --check found nothing wrong
  1  the configuration or the saw file is wrong, or the service failed, or calls
     were cut off
  2  there is no such flag or argument

Examples
  server --grpc 0.0.0.0:7420 --http 0.0.0.0:7421 --tls-cert cert.pem --tls-key key.pem
  server --config ripwright.yaml --log-format console --log-level debug
  RIPWRIGHT_SOLVES=2 server --print-config
  server --config ripwright.yaml --check`, configVar)
	return p.err
}

// shown gives a setting's default in words.
func (s *setting) shown(standard *Config) string {
	v := fmt.Sprint(standard.value(s.name))
	switch {
	case s.standard != "":
		return s.standard
	case v == "":
		return "none"
	}
	return v
}

// Print writes the configuration as a file for --config, with the origin of each setting.
// Defaults that depend on the machine are comments, so that the file fits other machines
// too.
func (l *Loaded) Print(w io.Writer) error {
	var doc yaml.MapSlice
	origins := yaml.CommentMap{}
	var here []string // defaults that depend on this machine
	for _, s := range settings {
		v := l.value(s.name)
		if s.standard != "" && !l.given(s.name) {
			here = append(here, fmt.Sprintf("# %s: %v # default: %s, here", s.name, v, s.standard))
			continue
		}
		if d, ok := v.(time.Duration); ok {
			v = d.String()
		}
		doc = append(doc, yaml.MapItem{Key: s.name, Value: v})
		origins["$."+s.name] = []*yaml.Comment{yaml.LineComment(" " + l.Origin(s.name))}
	}
	p := &printer{w: w, err: yaml.NewEncoder(w, yaml.WithComment(origins)).Encode(doc)}
	for _, line := range here {
		p.line("%s", line)
	}
	return p.err
}

// InForce lists every setting with its origin. None holds a secret: secrets are in files,
// of which settings hold the names.
func (l *Loaded) InForce() (all []Shown) {
	for _, s := range settings {
		v := l.value(s.name)
		if d, ok := v.(time.Duration); ok {
			v = d.String()
		}
		all = append(all, Shown{Name: s.name, Value: v, From: l.Origin(s.name)})
	}
	return all
}

// Shown is a setting as a running service shows it.
type Shown struct {
	Name  string `json:"name"`
	Value any    `json:"value"`
	From  string `json:"from"` // a flag, a variable, a line of the file or the default
}

// printer keeps the first error of many writes.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", args...)
	}
}
