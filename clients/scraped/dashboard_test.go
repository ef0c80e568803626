// Package scraped tests the configuration, the alerts and the dashboard with a real
// Prometheus and the service as a process.
package scraped

import (
	"bytes"
	"encoding/json"
	"os"
	"regexp"
	"testing"
)

// shippedIn is the folder of the files for Prometheus.
const shippedIn = "../../deploy/prometheus/"

// source is the data source of a panel or a variable.
type source struct{ Type, UID string }

type target struct {
	RefID, Expr, LegendFormat string
	Datasource                source
	Instant                   bool
	Range                     *bool
}

type panel struct {
	ID                       int
	Title, Description, Type string
	GridPos                  struct{ X, Y, W, H int }
	Datasource               source
	Targets                  []target
	FieldConfig              struct {
		Defaults struct {
			Unit     string
			Min, Max *float64
			Custom   map[string]any
		}
		Overrides []any
	}
	Options   map[string]any
	Collapsed bool
	Panels    []any
}

type variable struct {
	Name, Label, Type, Definition, AllValue string
	Datasource                              source
	Query                                   struct{ Query, RefID string }
	Refresh, Sort, Hide                     int
	Multi, IncludeAll                       bool
	Current                                 map[string]any
	Options                                 []any
}

type board struct {
	Title, UID, Timezone, Refresh string
	Tags                          []string
	SchemaVersion                 int
	Time                          struct{ From, To string }
	Panels                        []panel
	Templating                    struct{ List []variable }
}

// dashboard reads it; an unknown key is a mistake in it.
func dashboard(t *testing.T) (b board) {
	t.Helper()
	raw, err := os.ReadFile(shippedIn + "dashboard.json")
	if err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&b); err != nil {
		t.Fatal(err)
	}
	return b
}

// Kinds of panels and their units, by the names in the dashboard's format (from memory).
var (
	kindsOfPanel = map[string]bool{"row": true, "timeseries": true, "bargauge": true}
	units        = map[string]bool{"none": true, "percentunit": true, "s": true, "lengthm": true, "lengthmm": true, "areaM2": true}
)

var used = regexp.MustCompile(`\$\{?(\w+)`)

// Panels are complete: a title, a description, a unit, a place on a grid of 24 columns
// without overlap, queries with a source, and only variables that exist.
func TestDashboardIsWhole(t *testing.T) {
	b := dashboard(t)
	from := map[string]bool{}
	for _, v := range b.Templating.List {
		from[v.Name] = true
		if v.Type != "query" || v.Query.Query != v.Definition || v.AllValue != ".*" || !v.Multi || !v.IncludeAll || v.Datasource.Type != "prometheus" {
			t.Errorf("variable %s does not offer a choice", v.Name)
		}
	}
	if len(from) != 2 || !from["saw"] || !from["order"] {
		t.Errorf("variables are %v, want saw and order", from)
	}
	ids, taken, asks := map[int]bool{}, map[[2]int]string{}, map[string]bool{}
	for _, p := range b.Panels {
		if ids[p.ID] || p.ID == 0 || p.Title == "" {
			t.Errorf("panel %d %q has no id or title of its own", p.ID, p.Title)
		}
		ids[p.ID] = true
		at := p.GridPos
		if at.W < 1 || at.H < 1 || at.X < 0 || at.X+at.W > 24 {
			t.Errorf("%s lies outside of the grid", p.Title)
		}
		for x := at.X; x < at.X+at.W; x++ {
			for y := at.Y; y < at.Y+at.H; y++ {
				if over := taken[[2]int{x, y}]; over != "" {
					t.Fatalf("%s overlaps %s", p.Title, over)
				}
				taken[[2]int{x, y}] = p.Title
			}
		}
		if !kindsOfPanel[p.Type] {
			t.Errorf("%s is a %q", p.Title, p.Type)
		}
		if p.Type == "row" {
			continue
		}
		if !units[p.FieldConfig.Defaults.Unit] {
			t.Errorf("%s counts in %q", p.Title, p.FieldConfig.Defaults.Unit)
		}
		if p.Description == "" || p.FieldConfig.Defaults.Unit == "" || len(p.Targets) == 0 || p.Datasource.Type != "prometheus" {
			t.Errorf("%s has no text, unit, query or source", p.Title)
		}
		refs := map[string]bool{}
		for _, q := range p.Targets {
			if q.RefID == "" || refs[q.RefID] || q.Expr == "" || q.LegendFormat == "" || q.Datasource != p.Datasource {
				t.Errorf("%s: query %q is incomplete", p.Title, q.RefID)
			}
			refs[q.RefID] = true
			for _, name := range used.FindAllStringSubmatch(q.Expr, -1) {
				if asks[name[1]] = true; !from[name[1]] {
					t.Errorf("%s uses $%s, which does not exist", p.Title, name[1])
				}
			}
			if q.Instant != (p.Type == "bargauge") {
				t.Errorf("%s: a bar needs an instant query, a line a range query", p.Title)
			}
		}
	}
	for name := range from {
		if !asks[name] {
			t.Errorf("no query uses $%s", name)
		}
	}
}
