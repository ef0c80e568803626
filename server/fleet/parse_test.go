package fleet

import (
	"os"
	"slices"
	"strings"
	"testing"

	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/proto/file"
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
	f, err := Parse("", []byte(good))
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
		t.Error("the saw cedar is missing")
	}
}

// Every mistake is reported by its line and its path, whether it breaks the YAML, the
// schema or the saw's own rules.
func TestFaultsHaveLines(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		// not YAML
		{"  kerf_mm: 4\n", "  kerf_mm 4\n", "line 14: is not YAML: "},
		{"    - fixed_mm: 180\n", "\t- fixed_mm: 180\n", "line 10: "},
		{"{min_mm: 0, max_mm: 200}", "{min_mm: 0, max_mm: 200", "line 8: "},
		{"name: birch\n", "name: birch\n  name: cedar\n", `line 14: is not YAML: mapping key "name" already defined`},
		{good, "", "line 1: holds nothing; must be one of, or a list of, saws"},
		{good, "# nothing yet\n", "line 1: holds nothing"},
		{good, "[]", "line 1: holds nothing"},
		{good, "saws:\n  - name: alder\n", "line 1: saws is not a field; the file is the list itself: begin each saw with - name"},
		{"- name: birch", "---\n- name: birch", "line 14: begins a second document"},
		{"kerf_mm: 4", "kerf_mm: " + strings.Repeat("[", 100_000), "line 14: is nested more than 16 levels deep"},
		{"kerf_mm: 4", "kerf_mm:\n    " + strings.Repeat("- ", 100_000), "line 15: is nested more than 16 levels deep"},
		// not the schema
		{"kerf_mm: 4", "kerff: 4", "line 14: saws[1].kerff is not a field; write kerf"},
		{"kerf_mm: 4", "xyzzy: 4", "line 14: saws[1].xyzzy is not a field; fields are name, kerf_mm, kerf, step_mm, step,"},
		{"max_mm: 400", "most_mm: 400", "line 12: saws[0].blades[2].moving.most_mm is not a field"},
		{"step_mm: 0.1", "step_mm: fine", `line 15: saws[1].step_mm is the text "fine"; must be a number`},
		{"step_mm: 0.1", "step_mm: .inf", "line 15: saws[1].step_mm is +Inf; must be a number"},
		{"step_mm: 0.1", "step_mm:", "line 15: saws[1].step_mm is empty; must be a number"},
		{"step_mm: 0.1", "step_mm: [0.1]", "line 15: saws[1].step_mm is a list; must be a number"},
		{"name: birch", "name: 12", "line 13: saws[1].name is 12; must be text"},
		{"    - fixed_mm: 55.5", "    fixed_mm: 55.5", "line 22: saws[1].blades is a group of fields; must be a list"},
		{"    - fixed_mm: 180", "    - 180", "line 10: saws[0].blades[1] is 180; must have the fields fixed_mm, fixed, moving"},
		{"    - fixed_mm: 180", "    - fixed_mm: 180\n      moving: {}", "line 11: saws[0].blades[1].moving is set together with fixed_mm"},
		{"step_mm: 0.1", "step_mm: 0.1\n  stepMm: 0.1", "line 16: saws[1].stepMm is set together with step_mm"},
		{"step_mm: 0.1", "step_mm: 0.1\n  step: 0.1mm", "line 16: saws[1].step is set together with step_mm"},
		{"fence: {", "fence: &f {", "line 7: saws[0].fence is an anchor"},
		{"kerf_mm: 3.2", "kerf_mm: !!float 3", "line 3: saws[0].kerf_mm is an anchor, an alias or a tag"},
		// not a quantity
		{"kerf_mm: 4", "kerf: 4", "line 14: saws[1].kerf is 4 without a unit; write kerf: 4mm, or kerf_mm: 4"},
		{"kerf_mm: 4", "kerf_mm: 5/32 in", `line 14: saws[1].kerf_mm is the text "5/32 in"; must be a number. With a unit write kerf: 5/32 in`},
		{"kerf_mm: 4", "kerf: 5/32 inc", `line 14: saws[1].kerf "5/32 inc" cannot be read; write it as 44.5mm, 2.4m, 1-3/4in`},
		{"fixed_mm: 55.5", "fixed: 55,5mm", `line 22: saws[1].blades[0].fixed "55,5mm" has a comma in its number; write a decimal point`},
		// not a saw
		{"fixed_mm: 180", "fixed_mm: 80", "line 10: saws[0].blades[1].fixed_mm "},
		{"fixed_mm: 180", "fixed: 3in", "line 10: saws[0].blades[1].fixed_mm "},
		{"max_mm: 400", "max_mm: 190", "line 12: saws[0].blades[2].moving.max_mm is 190, below min_mm 220"},
		{"    max_mm: 20\n", "    max_mm: 5\n", "line 20: saws[1].fence.max_mm is 5, below min_mm 10"},
		{"  step_mm: 0.1\n", "", "line 13: saws[1].step_mm is 0; must be"},
		{"    - fixed_mm: 55.5", "    - {}", "line 22: saws[1].blades[0] has no mount"},
		{"name: birch", "name: alder", `line 13: saws[1].name is "alder", the same as on line 2`},
		{"name: birch", `name: ""`, "line 13: saws[1].name is empty"},
		{"- name: birch\n  kerf_mm", "- kerf_mm", "line 13: saws[1].name is empty"},
	} {
		text := strings.Replace(good, c.from, c.to, 1)
		if text == good {
			t.Fatalf("%q is not in the file", c.from)
		}
		if f, err := Parse("", []byte(text)); err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q for %q: %v %v\nwant %s", c.to, c.from, f, err, c.want)
		}
	}
}

// All faults of a file are reported, in the order of its lines.
func TestAllFaultsOfAFile(t *testing.T) {
	text := strings.NewReplacer("name: birch", "name: alder", "fixed_mm: 180", "fixed_mm: 80", "kerf_mm: 4", "kerf_mm: -4", "step_mm: 0.1", "step: 1").Replace(good)
	_, err := Parse("", []byte(text))
	if err == nil {
		t.Fatal("taken")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) < 2 || !strings.HasPrefix(lines[0], "line 10: saws[0].blades[1].fixed_mm") || !strings.HasPrefix(lines[len(lines)-1], "line 15: saws[1].step ") {
		t.Errorf("%q", lines)
	}
}

// A quantity with its unit gives the same saw, to the last digit, and files in the format
// of earlier releases are still accepted: numbers in quotes, fields by their JSON names.
func TestUnits(t *testing.T) {
	for from, to := range map[string]string{
		"kerf_mm: 3.2":             "kerf: 3.2 mm",
		"kerf_mm: 4":               `kerf: '4mm'`,
		"fixed_mm: 55.5":           "fixed: 5.55cm",
		"{min_mm: 0, max_mm: 200}": "{min: 0in, max: 200 mm}",
		"step_mm: 0.1":             "stepMm: 0.1",
		"min_gap_mm: 40":           `min_gap_mm: "40"`,
	} {
		text := strings.Replace(good, from, to, 1)
		want, err := Parse("", []byte(good))
		if err != nil {
			t.Fatal(err)
		}
		got, err := Parse("", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", to, err)
			continue
		}
		for i, m := range got.Messages() {
			if !proto.Equal(m, want.Messages()[i]) {
				t.Errorf("%s: %v", to, m)
			}
		}
	}
	f, err := Parse("", []byte(strings.NewReplacer("kerf_mm: 3.2", "kerf: 1/8 in", "fixed_mm: 55.5", `fixed: 2-3/16"`).Replace(good)))
	if err != nil {
		t.Fatal(err)
	}
	alder, _ := f.Find("alder")
	birch, _ := f.Find("birch")
	// The inch is 25.4 mm: NIST Special Publication 811, Appendix B.8.
	if alder.Message.GetKerfMm() != 3.175 || birch.Message.GetBlades()[0].GetFixedMm() != 55.5625 {
		t.Errorf("%v %v", alder.Message, birch.Message)
	}
}

// JSON is read too, with lines.
func TestJSON(t *testing.T) {
	text := string(builtIn)
	if _, err := Parse("", []byte(text)); err != nil {
		t.Fatal(err)
	}
	wrong := strings.Replace(text, `"fixed_mm"`, `"fixed"`, 1)
	n := strings.Count(text[:strings.Index(text, `"fixed_mm"`)], "\n") + 1
	var faults file.Faults
	if _, err := Parse("", []byte(wrong)); err != nil {
		faults, _ = err.(file.Faults) //nolint:errorlint // Parse returns this type unwrapped
	}
	if len(faults) == 0 || faults[0].Line != n {
		t.Errorf("%v, want line %d", faults, n)
	}
}

// The supplied example is correct, and describes every field.
func TestExample(t *testing.T) {
	text, err := os.ReadFile("../../deploy/saws.example.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Parse("", text); err != nil {
		t.Error(err)
	}
}

// Whatever a file holds, reading it ends without a panic, and every saw accepted can be
// found.
func FuzzParse(f *testing.F) {
	f.Add([]byte(good))
	f.Add(builtIn)
	f.Add([]byte("- {name: a, kerf: 1/8 in, fence: {min: 2ft 3in, max: .5m}}\n"))
	f.Add([]byte("- &a [*a]\n- {<<: *a}\n- ? {a: b}\n  : c\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		fleet, err := Parse("", text)
		if err != nil {
			return
		}
		for _, name := range fleet.Names() {
			if s, ok := fleet.Find(name); !ok || len(s.Faults()) > 0 {
				t.Errorf("%q is not accepted as a saw", name)
			}
		}
	})
}
