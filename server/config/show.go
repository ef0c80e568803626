package config

import (
	"fmt"
	"io"

	"go.yaml.in/yaml/v3"
)

// Help writes all that there is to set.
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
  --check                     say what is wrong with the settings and the saw file, and end
  --print-config              show every setting and where it came from, and end
  -h, --help                  this

The setting longest-solve is the flag --longest-solve, the variable
RIPWRIGHT_LONGEST_SOLVE and the key longest-solve of the file. Flags outrank
variables, variables outrank the file, the file outranks the defaults. Times have
a unit: 500ms, 2s, 1m30s.

Signals
  SIGTERM, SIGINT             drain and end; the second one ends at once
  SIGHUP                      read the saw file anew

Exit status
  0  ended as asked, drained; or --check found nothing wrong
  1  the configuration or the saw file is wrong, or the service failed, or calls
     were cut off
  2  there is no such flag or argument

Examples
  server --grpc 0.0.0.0:7420 --http 0.0.0.0:7421 --saws saws.yaml
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

// Print writes the configuration as a file that --config would take, with where
// each setting came from.
func (l *Loaded) Print(w io.Writer) error {
	doc := &yaml.Node{Kind: yaml.MappingNode}
	for _, s := range settings {
		var key, value yaml.Node
		key.SetString(s.name)
		if err := value.Encode(fmt.Sprint(l.value(s.name))); err != nil {
			return err
		}
		if n, ok := l.value(s.name).(int); ok {
			if err := value.Encode(n); err != nil {
				return err
			}
		}
		value.LineComment = l.Origin(s.name)
		doc.Content = append(doc.Content, &key, &value)
	}
	e := yaml.NewEncoder(w)
	if err := e.Encode(doc); err != nil {
		return err
	}
	return e.Close()
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
