package mapping

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"github.com/ripwright/ripwright/clients/wherry/internal/modbus"
)

// The guide's examples are valid mappings.
func TestGuide(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	seen := ""
	for _, b := range regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(string(text), -1) {
		var m Mapping
		if err := yaml.UnmarshalWithOptions([]byte(b[1]), &m, yaml.DisallowUnknownField()); err != nil {
			t.Errorf("%v\n%s", err, b[1])
			continue
		}
		switch {
		case m.MQTT != nil:
			seen += "mqtt "
			if _, err := read(t, whole()+b[1]); err != nil {
				t.Error(err)
			}
		case m.PLC.Modbus != nil:
			seen += "modbus "
			if l := modbus.Faults(m.Words, m.PLC.Modbus.Order, 16); len(l) > 0 || len(m.Words) < 4 {
				t.Error(l)
			}
		case m.PLC.OPCUA != nil:
			seen += "opcua "
			all := b[1]
			for _, l := range strings.Split(whole()[strings.Index(whole(), "words:\n")+len("words:\n"):], "\n") {
				if name, _, ok := strings.Cut(strings.TrimSpace(l), ":"); ok && !strings.Contains(all, "  "+name+":") {
					all += l + "\n"
				}
			}
			if _, err := read(t, all); err != nil {
				t.Error(err)
			}
		}
	}
	if seen != "opcua modbus mqtt " {
		t.Errorf("the guide has %q", seen)
	}
}
