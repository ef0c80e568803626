package main

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"google.golang.org/protobuf/reflect/protoreflect"
)

func load(t *testing.T) *schema {
	t.Helper()
	s, err := read(t.Context(), "..")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The published documents are those generated from the schema.
func TestDocumentsAreGenerated(t *testing.T) {
	s := load(t)
	for name, want := range map[string]string{"openapi.yaml": s.openAPI(), "REFERENCE.md": s.reference()} {
		got, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != want {
			t.Errorf("proto/%s differs from what the schema gives; run make generate", name)
		}
	}
}

// The reference has every call, message, field, enum and value, each with its
// comment.
func TestReferenceIsWhole(t *testing.T) {
	s := load(t)
	text := s.reference()
	want := func(d protoreflect.Descriptor, line string) {
		if s.about(d) == "" {
			t.Errorf("%s has no comment", d.FullName())
		}
		if !strings.Contains(text, line) {
			t.Errorf("the reference lacks %s: %q", d.FullName(), line)
		}
	}
	for _, m := range s.calls() {
		want(m, "\n### "+string(m.Name())+"\n")
	}
	for _, file := range s.files {
		for i := range file.Messages().Len() {
			m := file.Messages().Get(i)
			want(m, "\n#### "+string(m.Name())+"\n")
			for j := range m.Fields().Len() {
				want(m.Fields().Get(j), "\n| `"+string(m.Fields().Get(j).Name())+"` | ")
			}
		}
		for i := range file.Enums().Len() {
			e := file.Enums().Get(i)
			want(e, "\n#### "+string(e.Name())+"\n")
			for j := range e.Values().Len() {
				want(e.Values().Get(j), "\n| `"+string(e.Values().Get(j).Name())+"` | ")
			}
		}
	}
}

// A field or choice that is needed is listed as required, unless its comment makes that
// depend on something. Two fields were not listed when the description was first
// published, and a required field more would break what was generated from it.
func TestNeededIsRead(t *testing.T) {
	s := load(t)
	depends := regexp.MustCompile(`Needed (for|if) `)
	unlisted := []protoreflect.FullName{"ripwright.v1.Saw.kerf_mm", "ripwright.v1.CheckPlanRequest.setting"}
	found := 0
	for name, text := range s.comments {
		if strings.Contains(text, "Needed") && !depends.MatchString(text) && !slices.Contains(unlisted, name) {
			if found++; !need.MatchString(text) {
				t.Errorf("%s: Needed is not read from %q", name, text)
			}
		}
	}
	if found == 0 {
		t.Error("no field is needed")
	}
}

// Every link leads to a heading of the page or to a file that is there.
func TestReferenceLinks(t *testing.T) {
	text := load(t).reference()
	heads := map[string]bool{}
	for _, h := range regexp.MustCompile(`(?m)^#+ (.*)$`).FindAllStringSubmatch(text, -1) {
		name := strings.ReplaceAll(strings.ToLower(h[1]), " ", "-")
		if heads[name] {
			t.Errorf("there are two headings %q", h[1])
		}
		heads[name] = true
	}
	links := regexp.MustCompile(`\]\(([^)]*)\)`).FindAllStringSubmatch(text, -1)
	if len(links) < 100 {
		t.Fatalf("%d links", len(links))
	}
	for _, l := range links {
		page, head, _ := strings.Cut(l[1], "#")
		if page == "" {
			if !heads[head] {
				t.Errorf("no heading for the link %q", l[1])
			}
			continue
		}
		if _, err := os.Stat(filepath.Join("..", page)); err != nil {
			t.Errorf("%s: %v", l[1], err)
		}
	}
}

// Names of the schema are set as code in prose, and nothing else is.
func TestEscape(t *testing.T) {
	for text, want := range map[string]string{
		"Only for CUT_OUTCOME_RUNNER_UP.":          "Only for `CUT_OUTCOME_RUNNER_UP`.",
		"The field: fence_mm or blades_mm[i].":     "The field: `fence_mm` or `blades_mm[i]`.",
		"the item's crosscut.lengths, from 0.":     "the item's crosscut.lengths, from 0.",
		"with a google.rpc.RetryInfo. JSON":        "with a `google.rpc.RetryInfo`. JSON",
		"[c, c + kerf] is 2.5 mm; see x.":          "[c, c + kerf] is 2.5 mm; see x.",
		"lumber.lots[0].lot_id and saw_name; more": "`lumber.lots[0].lot_id` and `saw_name`; more",
	} {
		if got := escape(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

// Keys and strings that YAML could take for another type are quoted.
func TestYAML(t *testing.T) {
	o := object{{"plain", "a: b # c"}, {"404", list{object{}, list{}, true, 1.5, object{{"x", "no"}}}}}
	want := "plain: \"a: b # c\"\n\"404\":\n  - {}\n  - []\n  - true\n  - 1.5\n  -\n    x: \"no\"\n"
	if got := yaml(o); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
