package withhold

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/audit"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
)

// A board with runs, pieces, wood that is fed again, skew and runners-up.
const job = `
 "board": {"length_mm": 2400, "stations": [{"x_mm": 10, "far_mm": 240}, {"x_mm": 2400, "near_mm": 4, "far_mm": 232}],
  "defects": [{"from_x_mm": 300, "to_x_mm": 340, "from_y_mm": 50, "to_y_mm": 75, "kind": "knot"}]},
 "saw": {"kerf_mm": 3.6, "step_mm": 0.5, "fence": {"min_mm": 140, "max_mm": 160},
  "blades": [{"fixed_mm": 150}, {"fixed_mm": 208.7}, {"moving": {"min_mm": 260, "max_mm": 280}}, {"moving": {"min_mm": 310, "max_mm": 330}}],
  "min_gap_mm": 30, "edge_trim_mm": 3, "min_strip_width_mm": 25, "rerip": {"min_width_mm": 30, "value_per_m2": 2.5}, "max_skew_mm_per_m": 0.5},
 "order": {"items": [{"item_id": "stile", "width_mm": 50, "value": 11, "required": {"pieces": 40}, "made": {"pieces": 2}, "piece_length_mm": 700},
  {"item_id": "panel", "range": {"min_mm": 40, "max_mm": 90}, "value": 3, "required": {"area_m2": 12}, "panel": {"width_mm": 600, "joint_allowance_mm": 1.5}},
  {"item_id": "door", "width_mm": 55, "crosscut": {"kerf_mm": 4, "end_trim_mm": 15, "lengths": [{"length_mm": 720, "value": 1.2, "required": 12}, {"length_mm": 430, "value": 0.6}]}}]}`

// leaf is a number, string or flag somewhere in a message.
type leaf struct {
	path string
	in   protoreflect.Message
	of   protoreflect.FieldDescriptor
	at   int // of a list; -1: no list
}

// leaves lists all that a message holds.
func leaves(m protoreflect.Message, path string) (all []leaf) {
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		f := fields.Get(i)
		at := path + "." + string(f.Name())
		switch {
		case f.ContainingOneof() != nil && !m.Has(f), f.HasPresence() && f.Message() != nil && !m.Has(f):
		case f.IsList() && f.Message() != nil:
			for k := range m.Get(f).List().Len() {
				all = append(all, leaves(m.Get(f).List().Get(k).Message(), at)...)
			}
		case f.IsList():
			for k := range m.Get(f).List().Len() {
				all = append(all, leaf{at, m, f, k})
			}
		case f.Message() != nil:
			all = append(all, leaves(m.Get(f).Message(), at)...)
		default:
			all = append(all, leaf{at, m, f, -1})
		}
	}
	return all
}

// change alters a leaf slightly.
func (l leaf) change(r *rand.Rand) {
	v := l.in.Get(l.of)
	if l.at >= 0 {
		v = v.List().Get(l.at)
	}
	switch x := v.Interface().(type) {
	case float64:
		by := math.Max(math.Abs(x)*1e-6, 1e-6)
		if r.IntN(2) == 0 {
			by = -by
		}
		v = protoreflect.ValueOfFloat64(x + by)
	case int32:
		v = protoreflect.ValueOfInt32(x + 1)
	case bool:
		v = protoreflect.ValueOfBool(!x)
	case string:
		v = protoreflect.ValueOfString(x + "x")
	case protoreflect.EnumNumber:
		v = protoreflect.ValueOfEnum(x%2 + 1)
	default:
		return
	}
	if l.at >= 0 {
		l.in.Mutable(l.of).List().Set(l.at, v)
		return
	}
	l.in.Set(l.of, v)
}

// why a plan is withheld.
func why(err error) []audit.Difference {
	var e *Error
	if !errors.As(err, &e) {
		return nil
	}
	return e.Differences
}

// forTwo is a job in which little of one item is open, and another order has the rest.
func forTwo(t *testing.T, ask *ripwrightv1.CheckPlanRequest) (*wire.Job, *rip.Result) {
	t.Helper()
	j, err := wire.Check(ask, nil)
	if err != nil {
		t.Fatal(err)
	}
	next := order.CloneItems(j.Problem.Items)
	l := &wire.Line{OrderID: "next", More: j.Items, Order: ask.GetOrder()}
	j.Problem.Items, j.Items = j.Problem.Items[:1:1], j.Items[:1:1]
	j.Problem.Items[0].Made = j.Problem.Items[0].Required - 1
	if !j.Join(l, next) {
		t.Fatal("too many items")
	}
	r, err := j.Solve()
	if err != nil {
		t.Fatal(err)
	}
	own, other := 0, 0
	for _, k := range r.Best.Pockets {
		switch {
		case k.Item >= j.Own():
			other++
		case k.Item != rip.None:
			own++
		}
	}
	if err := Result(j, r); err != nil || own == 0 || other == 0 {
		t.Fatalf("%d strips and %d for the other order: %v", own, other, why(err))
	}
	return j, r
}

// Any change of an answer by a part in a million or a nanometre is found, except in what
// is no claim about the plan.
func TestEveryField(t *testing.T) {
	free := []string{".board_id", ".saw_fingerprint", ".arbor_fingerprint", ".warnings", ".solve_time_us", ".queue_time_us", ".cycle", ".stack", ".work", ".board_feet",
		".fills.required", ".fills.made", ".fills.reserved", ".fills.open", ".fills.panel_m", ".fills.lengths.length_mm", ".fills.lengths.required",
		".fills.lengths.made", ".fills.lengths.reserved", ".fills.lengths.open", ".fills.lengths.overrun", ".broken_rules", ".set_aside", ".stack_warnings", ".start"}
	ask := &ripwrightv1.CheckPlanRequest{}
	if err := protojson.Unmarshal([]byte(`{`+job+`, "setting": {"fence_mm": 147, "blades_mm": [150, 208.7, 262, 321.5], "skew_mm_per_m": 0.5}}`), ask); err != nil {
		t.Fatal(err)
	}
	j, err := wire.Check(ask, nil)
	if err != nil {
		t.Fatal(err)
	}
	j.Options.RunnersUp = 2
	r, err := j.Solve()
	if err != nil {
		t.Fatal(err)
	}
	c, err := rip.Check(&j.Problem, j.Skew, j.Fence, j.Blades, rip.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := Checked(j, c, r); err != nil {
		t.Fatal(err)
	}
	line := &wire.Line{More: j.Items}
	two, served := forTwo(t, ask)
	for name, of := range map[string]struct {
		write   func() proto.Message
		compare func(proto.Message) error
	}{
		"Solved": {func() proto.Message { return j.Solved(r, 1) },
			func(m proto.Message) error { return Solved(j, r, m.(*ripwrightv1.SolveBoardResponse)) }},
		"Scored": {func() proto.Message { return j.Checked(c, r, 1) },
			func(m proto.Message) error { return Scored(j, c, r, m.(*ripwrightv1.CheckPlanResponse)) }},
		"Line": {func() proto.Message { return line.LinePlan(j, r, run.Known{}, 1, 1) },
			func(m proto.Message) error { return Line(j, r, m.(*ripwrightv1.LinePlan)) }},
		"two orders": {func() proto.Message { return line.LinePlan(two, served, run.Known{}, 1, 1) },
			func(m proto.Message) error { return Line(two, served, m.(*ripwrightv1.LinePlan)) }},
	} {
		t.Run(name, func(t *testing.T) {
			d := rand.New(rand.NewPCG(1, 2))
			m := of.write()
			if err := of.compare(m); err != nil {
				t.Fatalf("a correct answer is withheld: %v", why(err))
			}
			n := len(leaves(m.ProtoReflect(), ""))
			found := 0
			for i := range n {
				m := of.write()
				l := leaves(m.ProtoReflect(), "")[i]
				before := proto.CloneOf(m)
				if l.change(d); proto.Equal(before, m) {
					continue
				}
				if of.compare(m) != nil {
					found++
					continue
				}
				isFree := false
				for _, f := range free {
					isFree = isFree || strings.Contains(l.path, f)
				}
				if !isFree {
					t.Errorf("%s: the change is not found", l.path)
				}
			}
			if found < 60 {
				t.Errorf("only %d changes of %d were found", found, n)
			}
			t.Logf("%d changes found of %d", found, n)
		})
	}
}
