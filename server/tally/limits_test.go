package tally

import (
	"context"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/bufbuild/protocompile"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
)

// comments gives the comment of every field from the schema's own text.
func comments(t *testing.T) map[protoreflect.FullName]string {
	t.Helper()
	c := protocompile.Compiler{
		Resolver: protocompile.WithStandardImports(&protocompile.SourceResolver{
			ImportPaths: []string{"../../proto", "../../proto/third_party"},
		}),
		SourceInfoMode: protocompile.SourceInfoStandard,
	}
	files, err := c.Compile(context.Background(), "ripwright/v1/tally_service.proto", "ripwright/v1/tally.proto", "ripwright/v1/board.proto")
	if err != nil {
		t.Fatal(err)
	}
	all := map[protoreflect.FullName]string{}
	for _, file := range files {
		for i := range file.Messages().Len() {
			fs := file.Messages().Get(i).Fields()
			for j := range fs.Len() {
				text := file.SourceLocations().ByDescriptor(fs.Get(j)).LeadingComments
				all[fs.Get(j).FullName()] = strings.Join(strings.Fields(text), " ")
			}
		}
	}
	return all
}

var (
	closedRange = regexp.MustCompile(`(-?[0-9.]+(?:e[0-9]+)?)(?: \([^)]*\))? to (-?[0-9.]+(?:e[0-9]+)?)`)
	openRange   = regexp.MustCompile(`above ([0-9.]+) and at most ([0-9.]+(?:e[0-9]+)?)`)
	entryRange  = regexp.MustCompile(`([0-9]+) to ([0-9]+) entries`)
)

// published reads a range from a field's comment.
func published(comment string) (least, most float64, above, ok bool) {
	m := openRange.FindStringSubmatch(comment)
	if above = m != nil; !above {
		if m = closedRange.FindStringSubmatch(comment); m == nil {
			return 0, 0, false, false
		}
	}
	least, e1 := strconv.ParseFloat(m[1], 64)
	most, e2 := strconv.ParseFloat(strings.TrimRight(m[2], "."), 64)
	return least, most, above, e1 == nil && e2 == nil
}

// scalars calls f for every scalar that is set in a message, with its path.
func scalars(m protoreflect.Message, path string, f func(protoreflect.Message, protoreflect.FieldDescriptor, string)) {
	m.Range(func(fd protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		at := string(fd.Name())
		if path != "" {
			at = path + "." + at
		}
		switch {
		case fd.IsList() && fd.Message() != nil:
			for i := range v.List().Len() {
				scalars(v.List().Get(i).Message(), fmt.Sprintf("%s[%d]", at, i), f)
			}
		case fd.Message() != nil:
			scalars(v.Message(), at, f)
		default:
			f(m, fd, at)
		}
		return true
	})
}

// Every number and string of a request is refused, by its path, just outside the limits
// that its comment in the schema publishes, and every list states its limit. A number at
// its limit may conflict with others, so only its own fault is checked.
func TestPublishedLimits(t *testing.T) {
	text := comments(t)
	tried := 0
	try := func(path, what string, set func(protoreflect.Message, protoreflect.FieldDescriptor)) {
		m := request(t)
		scalars(m.ProtoReflect(), "", func(in protoreflect.Message, fd protoreflect.FieldDescriptor, at string) {
			if at == path {
				set(in, fd)
			}
		})
		tried++
		var l fault.List
		if _, err := read(m); !errors.As(err, &l) || l[0].Path != path && !strings.HasPrefix(path, l[0].Path) {
			t.Errorf("%s %s: %v", path, what, err)
		}
	}
	scalars(request(t).ProtoReflect(), "", func(_ protoreflect.Message, fd protoreflect.FieldDescriptor, at string) {
		if fd.ContainingMessage().Name() == "Station" {
			return // each station's limits depend on the others'; see TestMistakes
		}
		least, most, above, ok := published(text[fd.FullName()])
		switch fd.Kind() {
		case protoreflect.DoubleKind, protoreflect.Int32Kind:
			if !ok {
				t.Errorf("the comment of %s states no limit: %s", fd.FullName(), text[fd.FullName()])
				return
			}
			put := func(v float64) func(protoreflect.Message, protoreflect.FieldDescriptor) {
				return func(in protoreflect.Message, fd protoreflect.FieldDescriptor) {
					if fd.Kind() == protoreflect.Int32Kind {
						in.Set(fd, protoreflect.ValueOfInt32(int32(v)))
					} else {
						in.Set(fd, protoreflect.ValueOfFloat64(v))
					}
				}
			}
			if fd.Kind() == protoreflect.Int32Kind {
				try(at, "too much", put(most+1))
				try(at, "too little", put(least-1))
				return
			}
			try(at, "too much", put(most+math.Max(most, 1)*1e-6))
			try(at, "NaN", put(math.NaN()))
			if above {
				try(at, "too little", put(least))
			} else {
				try(at, "too little", put(least-1e-3))
			}
		case protoreflect.StringKind:
			if !ok || most != ranges.Text.Most {
				t.Errorf("the comment of %s states no limit: %s", fd.FullName(), text[fd.FullName()])
				return
			}
			try(at, "too long", func(in protoreflect.Message, fd protoreflect.FieldDescriptor) {
				in.Set(fd, protoreflect.ValueOfString(strings.Repeat("y", int(ranges.Text.Most)+1)))
			})
			if least > 0 {
				try(at, "empty", func(in protoreflect.Message, fd protoreflect.FieldDescriptor) {
					in.Set(fd, protoreflect.ValueOfString(""))
				})
			}
		}
	})
	if tried < 100 {
		t.Errorf("only %d values were tried", tried)
	}
	for _, m := range []proto.Message{&ripwrightv1.TallyPackRequest{}, &ripwrightv1.Pack{}, &ripwrightv1.CountTally{}, &ripwrightv1.SurfaceTally{}} {
		fs := m.ProtoReflect().Descriptor().Fields()
		for i := range fs.Len() {
			if fs.Get(i).IsList() && !entryRange.MatchString(text[fs.Get(i).FullName()]) {
				t.Errorf("the comment of %s states no limit of entries", fs.Get(i).FullName())
			}
		}
	}
}
