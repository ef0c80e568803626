package limits

import (
	"fmt"
	"regexp"
	"testing"

	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/comment"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// requestFields calls f once for every field that a request can hold.
func requestFields(f func(protoreflect.FieldDescriptor)) {
	seen := map[protoreflect.FullName]bool{}
	var walk func(protoreflect.MessageDescriptor)
	walk = func(m protoreflect.MessageDescriptor) {
		if seen[m.FullName()] {
			return
		}
		seen[m.FullName()] = true
		for i := range m.Fields().Len() {
			fd := m.Fields().Get(i)
			f(fd)
			if fd.Message() != nil {
				walk(fd.Message())
			}
		}
	}
	for _, s := range []protoreflect.ServiceDescriptor{
		ripwrightv1.File_ripwright_v1_rip_service_proto.Services().ByName("RipService"),
		ripwrightv1.File_ripwright_v1_planning_service_proto.Services().ByName("PlanningService"),
		ripwrightv1.File_ripwright_v1_tally_service_proto.Services().ByName("TallyService"),
		ripwrightv1.File_ripwright_v1_info_service_proto.Services().ByName("InfoService"),
	} {
		for i := range s.Methods().Len() {
			walk(s.Methods().Get(i).Input())
		}
	}
}

// counted lists the kinds of limit that a field needs.
func counted(f protoreflect.FieldDescriptor) (all []Counted) {
	if f.IsList() || f.IsMap() {
		all = append(all, Entries)
	}
	switch f.Kind() {
	case protoreflect.StringKind, protoreflect.BytesKind:
		all = append(all, Characters)
	case protoreflect.BoolKind, protoreflect.EnumKind, protoreflect.MessageKind, protoreflect.GroupKind:
	default:
		all = append(all, Numbers)
	}
	return all
}

// Every list, string and number that a request can hold has a limit, and its
// comment in the schema states it.
func TestEveryFieldHasAPublishedLimit(t *testing.T) {
	text, err := comment.Read(t.Context(), "..")
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	requestFields(func(f protoreflect.FieldDescriptor) {
		for _, c := range counted(f) {
			g, ok := Of(f, c)
			if !ok {
				t.Errorf("%s has no limit of %s", f.FullName(), c)
				continue
			}
			used[fmt.Sprint(f.ContainingMessage().Name(), f.Name(), c)] = true
			if !(g.Least <= g.Most) {
				t.Errorf("%s takes nothing: %s", f.FullName(), g)
			}
			said := regexp.MustCompile(`(^|[^-\d.])` + regexp.QuoteMeta(g.String()) + `($|\D)`)
			if !said.MatchString(text[f.FullName()]) {
				t.Errorf("the comment of %s lacks %q: %s", f.FullName(), g, text[f.FullName()])
			}
		}
	})
	for _, l := range All {
		if !used[fmt.Sprint(l.Message, l.Field, l.Counts)] {
			t.Errorf("%s.%s has a limit of %s, but no request has such a field", l.Message, l.Field, l.Counts)
		}
	}
}

func TestRange(t *testing.T) {
	for _, c := range []struct {
		g     Range
		v     float64
		holds bool
	}{
		{Range{Least: -2, Most: 2}, -2, true},
		{Range{Least: -2, Most: 2}, 2.0001, false},
		{Range{Most: 2, Above: true}, 0, false},
		{Range{Most: 2, Above: true}, 1e-300, true},
		{Range{Most: 2, Whole: true}, 1.5, false},
		{Range{Most: 2, Whole: true}, 1, true},
	} {
		if got := c.g.Holds(c.v); got != c.holds {
			t.Errorf("%v holds %g: %v", c.g, c.v, got)
		}
	}
	for v, want := range map[float64]string{0: "0", 0.01: "0.01", -2000: "-2000", 2147483647: "2147483647", 1e15: "1e15", 2.5e-9: "2.5e-9"} {
		if got := Plain(v); got != want {
			t.Errorf("Plain(%g) = %s, want %s", v, got, want)
		}
	}
}
