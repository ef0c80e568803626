package app

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// The answers in the guide to quoting are parts of those that the service gives, its
// numbers rounded.
func TestQuotingGuide(t *testing.T) {
	text, err := os.ReadFile("../../clients/quoting.md")
	if err != nil {
		t.Fatal(err)
	}
	calls := regexp.MustCompile("(?s)```json\n([^`]*)```\n\n```sh\ncurl -s localhost:7421(\\S+) -d @\\S+\n```\n.*?```json\n([^`]*)```").FindAllSubmatch(text, -1)
	if len(calls) != 3 {
		t.Fatalf("%d calls in the guide", len(calls))
	}
	a, _, _ := start(t)
	for _, c := range calls {
		code, says := post(t, a, string(c[2]), string(c[1]))
		if code != http.StatusOK {
			t.Fatalf("%s: %d %s", c[2], code, says)
		}
		for _, wrong := range differ("", decode(t, string(c[3])), decode(t, says)) {
			t.Errorf("%s: the guide says %s", c[2], wrong)
		}
	}
}

func decode(t *testing.T, text string) (v any) {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(text))
	d.UseNumber()
	if err := d.Decode(&v); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return v
}

// differ lists where what is shown is not in what is there.
func differ(path string, shown, there any) (all []string) {
	wrong := []string{fmt.Sprintf("%s is %v, and it is %v", path, shown, there)}
	switch s := shown.(type) {
	case map[string]any:
		m, ok := there.(map[string]any)
		if !ok {
			return wrong
		}
		for k, v := range s {
			all = append(all, differ(path+"."+k, v, m[k])...)
		}
	case []any:
		l, ok := there.([]any)
		if !ok || len(l) != len(s) {
			return wrong
		}
		for i, v := range s {
			all = append(all, differ(fmt.Sprintf("%s[%d]", path, i), v, l[i])...)
		}
	case json.Number:
		n, ok := there.(json.Number)
		if !ok {
			return wrong
		}
		_, decimals, _ := strings.Cut(s.String(), ".")
		a, _ := strconv.ParseFloat(s.String(), 64)
		b, _ := strconv.ParseFloat(n.String(), 64)
		if math.Abs(a-b) > 0.5*math.Pow10(-len(decimals))+1e-9 {
			return wrong
		}
	default:
		if shown != there {
			return wrong
		}
	}
	return all
}
