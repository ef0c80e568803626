package command

import (
	"strings"
	"testing"

	"github.com/ripwright/ripwright/clients/internal/access"
)

// The settings in force, as reported by the service and by its metrics; a wrong address
// is reported.
func TestStatus(t *testing.T) {
	b := open(t)
	out, _ := b.run(t, 0, about("solve")...) // so that there is something to count
	if out == "" {
		t.Fatal("nothing solved")
	}
	out, _ = b.run(t, 0, "status", "--metrics", "http://"+b.web+"/metrics")
	for _, want := range []string{"release unreleased, requests up to 4194304 bytes", "heron   377406a4aa26dc30ee2c5db9", "plover  ",
		"\nready, up for ", "0 lines are open", "\nboards ", "\nplans and tallies ", "calls, lines among them ", "plans withheld      0", "files refused       0", "revision "} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	if out, _ = b.run(t, 0, "status", "--json"); !strings.Contains(out, `"features":["saw_by_name"`) || !strings.Contains(out, `"arbor_fingerprint":"377406a4aa26dc30ee2c5db9"`) {
		t.Error(out)
	}
	if out, _ = b.run(t, 0, "status", "--json", "--metrics", "http://"+b.web+"/metrics"); !strings.Contains(out, `"lines_open":0`) {
		t.Error(out)
	}
	// The address of the metrics is only a guess from the usual port; what is known
	// without them is printed anyway.
	if out, errs := b.run(t, 0, "status"); !strings.Contains(out, "heron ") || !strings.Contains(out, "--metrics http://host:port/metrics") {
		t.Error(out, errs)
	}
	if out, errs := b.run(t, 0, "status", "--metrics="); !strings.Contains(out, "heron ") || strings.Contains(out, "--metrics") {
		t.Error(out, errs)
	}
	if _, errs := b.run(t, statusServer, "status", "--metrics", "http://"+b.web+"/nothing"); !strings.Contains(errs, "404") {
		t.Error(errs)
	}
	if _, errs := b.run(t, statusServer, "status", "--metrics", "http://"+b.web+"/v1/saws"); !strings.Contains(errs, "is not metrics") {
		t.Error(errs)
	}
}

// For a service at the usual port the metrics are read from the neighbouring port, as
// securely as the service is called.
func TestMetricsBeside(t *testing.T) {
	for _, c := range []struct {
		server string
		access access.Access
		want   string
	}{
		{"127.0.0.1:7420", access.Access{}, "http://127.0.0.1:7421/metrics"},
		{"mill.example:7420", access.Access{TLS: true}, "https://mill.example:7421/metrics"},
		{"[2001:db8::7]:7420", access.Access{CA: "ca.pem"}, "https://[2001:db8::7]:7421/metrics"}, // RFC 3849
		{"127.0.0.1:9000", access.Access{}, ""},
		{"dns:///mill:7420", access.Access{}, ""},
		{"mill", access.Access{}, ""},
	} {
		tool := tool{server: c.server, access: c.access}
		if got := tool.metricsOf(); got != c.want {
			t.Errorf("%s: %q, want %q", c.server, got, c.want)
		}
	}
}
