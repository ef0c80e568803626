package config

import (
	"bytes"
	stdflag "flag"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
)

var update = stdflag.Bool("update", false, "write the settings into README.md and deploy/CONFIGURATION.md")

// table is the one in the README.
func table() string {
	standard := Default()
	text := "| setting | default | meaning |\n|---|---|---|\n"
	for _, s := range settings {
		text += fmt.Sprintf("| `%s` | %s | %s |\n", s.name, s.shown(&standard), s.about)
	}
	return text
}

// reference is deploy/CONFIGURATION.md.
func reference() string {
	standard := Default()
	var b strings.Builder
	b.WriteString(`# All that can be set

Made from the settings' own descriptions by ` + "`go test ./server/config -run Documented -update`" + `, which ` + "`make generate`" + ` runs.

Each setting is a key of the YAML file that ` + "`--config`" + ` or ` + "`" + configVar + "`" + ` names, a flag, and an environment variable. Flags outrank variables, variables outrank the file, the file outranks the defaults. Times have a unit: 500ms, 2s, 1m30s. What is not known or out of its range is refused at the start, by its name; ` + "`--check`" + ` says all that is wrong without starting, ` + "`--print-config`" + ` where each value came from.
`)
	group := ""
	for _, s := range settings {
		if s.group != group {
			group = s.group
			fmt.Fprintf(&b, "\n## %s\n\n| key | flag | variable | default | takes | meaning |\n|---|---|---|---|---|---|\n", group)
		}
		fmt.Fprintf(&b, "| `%s` | `%s` | `%s` | %s | %s | %s |\n", s.name, withArg(s), variable(s.name), s.shown(&standard), s.must, s.about)
	}
	b.WriteString(`
## Beside them

Not the service's own, and so only by the environment:

| variable | meaning |
|---|---|
| ` + "`GOMEMLIMIT`" + ` | memory that Go's collector keeps to, such as 460MiB; by itself nine tenths of the container's. Searches have half of it (search-memory); what requests that wait, plans under way and open lines hold is refused beyond a quarter |
| ` + "`GOMAXPROCS`" + ` | cores that are used; by itself as many as the container has |
| ` + "`OTEL_EXPORTER_OTLP_ENDPOINT`" + `, ` + "`OTEL_EXPORTER_OTLP_TRACES_ENDPOINT`" + ` | where traces are sent; without one of them there are none |
| ` + "`OTEL_EXPORTER_OTLP_PROTOCOL`" + `, ` + "`OTEL_EXPORTER_OTLP_TRACES_PROTOCOL`" + ` | http/protobuf (the default) or grpc |
| ` + "`OTEL_SERVICE_NAME`" + `, ` + "`OTEL_RESOURCE_ATTRIBUTES`" + ` | what the traces say they come from; ripwright by itself |
| ` + "`OTEL_TRACES_SAMPLER`" + `, ` + "`OTEL_TRACES_SAMPLER_ARG`" + ` | which calls are traced; by itself those whose callers trace them, and all whose callers say nothing |
| ` + "`OTEL_SDK_DISABLED`" + `, ` + "`OTEL_TRACES_EXPORTER`" + ` | true and none turn traces off |
| other ` + "`OTEL_EXPORTER_OTLP_`" + ` and ` + "`OTEL_BSP_`" + ` ones | headers, certificates, time limits and batches, by the OpenTelemetry specification |
`)
	return b.String()
}

// withArg writes a setting's flag as it is used.
func withArg(s setting) string { return flag(s.name) + " " + s.arg }

// The README's table and deploy/CONFIGURATION.md have every setting as it is, and
// --help has them all.
func TestEverySettingIsDocumented(t *testing.T) {
	const readme, page = "../../README.md", "../../deploy/CONFIGURATION.md"
	text, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	inReadme := regexp.MustCompile(`\| setting \| default \| meaning \|\n(\|[^\n]*\n)*`)
	if *update {
		for file, now := range map[string][]byte{readme: inReadme.ReplaceAllLiteral(text, []byte(table())), page: []byte(reference())} {
			if err := os.WriteFile(file, now, 0o644); err != nil { //nolint:gosec // pages for everybody
				t.Fatal(err)
			}
		}
		return
	}
	if got := string(inReadme.Find(text)); got != table() {
		t.Errorf("the README's table is\n%swant\n%s", got, table())
	}
	if got, err := os.ReadFile(page); err != nil || string(got) != reference() {
		t.Errorf("%s is not what the settings say (%v); run this test with -update", page, err)
	}
	var help bytes.Buffer
	if err := Help(&help); err != nil {
		t.Fatal(err)
	}
	for _, s := range settings {
		if !strings.Contains(help.String(), "  --"+s.name+" "+s.arg+" ") || !strings.Contains(help.String(), s.about) {
			t.Errorf("--help lacks %s", s.name)
		}
	}
}
