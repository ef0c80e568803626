package fleet

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
)

// good is a saw file whose lines the tests change.
const good = `# two invented saws
- name: alder
  kerf_mm: 3.2
  step_mm: 0.2
  min_gap_mm: 30
  min_strip_width_mm: 25
  fence: {min_mm: 0, max_mm: 200}
  blades:
    - fixed_mm: 100
    - fixed_mm: 180
    - moving: {min_mm: 220,
               max_mm: 400}
- name: birch
  kerf_mm: 4
  step_mm: 0.1
  min_gap_mm: 40
  min_strip_width_mm: 40
  fence:
    min_mm: 10
    max_mm: 20
  blades:
    - fixed_mm: 55.5
`

func TestParse(t *testing.T) {
	f, err := Parse([]byte(good))
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Names(); !slices.Equal(got, []string{"alder", "birch"}) {
		t.Errorf("names %q", got)
	}
	s, ok := f.Find("alder")
	if !ok || len(s.Blades) != 3 || !s.Blades[2].Moving || s.Blades[2].Travel.Max.MM() != 400 || s.Kerf != 3_200*unit.Micrometre {
		t.Errorf("alder is %+v", s)
	}
	if _, ok := f.Find("cedar"); ok {
		t.Error("there is no cedar")
	}
}

// Every mistake is named by its line and its path, whether it breaks the YAML,
// the schema or the saw's own rules.
func TestFaultsHaveLines(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		// not YAML
		{"  kerf_mm: 4\n", "  kerf_mm 4\n", "line 14: "},
		{"    - fixed_mm: 180\n", "\t- fixed_mm: 180\n", "line 10: "},
		{"{min_mm: 0, max_mm: 200}", "{min_mm: 0, max_mm: 200", "line 8: "},
		{"name: birch\n", "name: birch\n  name: cedar\n", `line 14: mapping key "name" already defined`},
		{good, "", "line 1: the file is empty"},
		{good, "# nothing yet\n", "line 1: the file is empty"},
		{good, "[]", "line 1: the list is empty"},
		{good, "saws:\n  - name: alder\n", "line 1: must be a list of saws"},
		{"- name: birch", "---\n- name: birch", "a second document"},
		{"kerf_mm: 4", "kerf_mm: " + strings.Repeat("[", 100_000), "line 14: goes over 16 levels deep"},
		{"kerf_mm: 4", "kerf_mm:\n    " + strings.Repeat("- ", 100_000), "line 15: goes over 16 levels deep"},
		// not the schema
		{"kerf_mm: 4", "kerf: 4", "line 14: saws[1].kerf: is not a field; there are name, kerf_mm,"},
		{"max_mm: 400", "most_mm: 400", "line 12: saws[0].blades[2].moving.most_mm: is not a field"},
		{"step_mm: 0.1", "step_mm: fine", `line 15: saws[1].step_mm: is the text "fine"; must be a number`},
		{"step_mm: 0.1", "step_mm: .inf", "line 15: saws[1].step_mm: is +Inf; must be a number"},
		{"step_mm: 0.1", "step_mm:", "line 15: saws[1].step_mm: is empty; must be a number"},
		{"step_mm: 0.1", "step_mm: [0.1]", "line 15: saws[1].step_mm: is a list; must be a number"},
		{"name: birch", "name: 12", "line 13: saws[1].name: is 12; must be text"},
		{"    - fixed_mm: 55.5", "    fixed_mm: 55.5", "line 21: saws[1].blades: is a group of fields; must be a list"},
		{"    - fixed_mm: 180", "    - 180", "line 10: saws[0].blades[1]: is 180; must have the fields fixed_mm, moving"},
		{"    - fixed_mm: 180", "    - fixed_mm: 180\n      moving: {}", "line 11: saws[0].blades[1].moving: is set beside fixed_mm"},
		{"step_mm: 0.1", "step_mm: 0.1\n  stepMm: 0.1", "line 16: saws[1].step_mm: is set twice"},
		{"fence: {", "fence: &f {", "line 7: saws[0].fence: is an anchor"},
		{"kerf_mm: 3.2", "kerf_mm: !!float 3", "line 3: saws[0].kerf_mm: is an anchor, an alias or a tag"},
		// not a saw
		{"fixed_mm: 180", "fixed_mm: 80", "line 10: saws[0].blades[1].fixed_mm: "},
		{"max_mm: 400", "max_mm: 190", "line 12: saws[0].blades[2].moving.max_mm: is 190, below min_mm 220"},
		{"    max_mm: 20\n", "    max_mm: 5\n", "line 20: saws[1].fence.max_mm: is 5, below min_mm 10"},
		{"  step_mm: 0.1\n", "", "line 13: saws[1].step_mm: is 0; must be"},
		{"    - fixed_mm: 55.5", "    - {}", "line 22: saws[1].blades[0]: has no mount"},
		{"name: birch", "name: alder", `line 13: saws[1].name: is "alder", as on line 2`},
		{"name: birch", `name: ""`, "line 13: saws[1].name: is empty"},
		{"- name: birch\n  kerf_mm", "- kerf_mm", "line 13: saws[1].name: is empty"},
	} {
		text := strings.Replace(good, c.from, c.to, 1)
		if text == good {
			t.Fatalf("%q is not in the file", c.from)
		}
		if f, err := Parse([]byte(text)); err == nil || !strings.HasPrefix(err.Error(), c.want) && !strings.Contains(err.Error(), "a second document") {
			t.Errorf("%q for %q: %v %v\nwant %s", c.to, c.from, f, err, c.want)
		}
	}
}

// All faults of a file are named, in the order of its lines.
func TestAllFaultsOfAFile(t *testing.T) {
	text := strings.NewReplacer("name: birch", "name: alder", "fixed_mm: 180", "fixed_mm: 80", "kerf_mm: 4", "kerf_mm: -4", "step_mm: 0.1", "step: 1").Replace(good)
	_, err := Parse([]byte(text))
	if err == nil {
		t.Fatal("taken")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) < 2 || !strings.HasPrefix(lines[0], "line 10: saws[0].blades[1].fixed_mm") || !strings.HasPrefix(lines[len(lines)-1], "line 15: saws[1].step: ") {
		t.Errorf("%q", lines)
	}
}

// JSON is read too, with lines.
func TestJSON(t *testing.T) {
	text := string(builtIn)
	if _, err := Parse([]byte(text)); err != nil {
		t.Fatal(err)
	}
	wrong := strings.Replace(text, `"fixed_mm"`, `"fixed"`, 1)
	n := strings.Count(text[:strings.Index(text, `"fixed_mm"`)], "\n") + 1
	var faults Faults
	if _, err := Parse([]byte(wrong)); err != nil {
		faults, _ = err.(Faults) //nolint:errorlint // Parse gives just this
	}
	if len(faults) == 0 || faults[0].Line != n {
		t.Errorf("%v, want line %d", faults, n)
	}
}

// The example that comes along is right, and says what every field is for.
func TestExample(t *testing.T) {
	text, err := os.ReadFile("../../deploy/saws.example.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Parse(text); err != nil {
		t.Error(err)
	}
}

// Whatever a file holds, reading it ends without a panic, and what is taken can
// be found.
func FuzzParse(f *testing.F) {
	f.Add([]byte(good))
	f.Add(builtIn)
	f.Add([]byte("- &a [*a]\n- {<<: *a}\n- ? {a: b}\n  : c\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		fleet, err := Parse(file)
		if err != nil {
			return
		}
		for _, name := range fleet.Names() {
			if s, ok := fleet.Find(name); !ok || len(s.Faults()) > 0 {
				t.Errorf("%q is no saw", name)
			}
		}
	})
}
