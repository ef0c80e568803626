package trial

import (
	"math"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protopath"
	"google.golang.org/protobuf/reflect/protorange"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// mostWork bounds every search of a fuzzer's input.
const mostWork = 20_000

// bounded gives a request's options the work limit mostWork unless they have a lower one,
// so that no input is searched for long.
func bounded(o *ripwrightv1.SolveOptions) *ripwrightv1.SolveOptions {
	if o == nil {
		o = &ripwrightv1.SolveOptions{}
	}
	if w := o.GetWorkLimit(); o.WorkLimit == nil || w > mostWork && w <= 1e15 && w == math.Trunc(w) {
		o.WorkLimit = proto.Float64(mostWork)
	}
	return o
}

// sound checks that a call ended in a way that a caller can understand: an answer within
// its limits, or a refusal that names what is wrong.
func sound(t *testing.T, answer proto.Message, err error) {
	t.Helper()
	if err == nil {
		finite(t, answer)
		return
	}
	v := verdict{status: status.Convert(err)}
	switch v.status.Code() {
	case codes.NotFound:
	case codes.InvalidArgument:
		if len(v.fields()) == 0 {
			t.Fatalf("no field is named: %s", v)
		}
		for _, f := range v.violations() {
			if f.GetField() == "" || f.GetDescription() == "" || f.GetReason() == "" {
				t.Fatalf("a fault without a path, description or reason: %s", v)
			}
		}
	default:
		t.Fatalf("refused with %s", v)
	}
}

// finite checks that every number of an answer is finite.
func finite(t *testing.T, answer proto.Message) {
	t.Helper()
	err := protorange.Range(answer.ProtoReflect(), func(p protopath.Values) error {
		last := p.Index(-1)
		if x, ok := last.Value.Interface().(float64); ok && (math.IsNaN(x) || math.IsInf(x, 0)) {
			t.Fatalf("%s is %g in %v", p.Path, x, answer)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// within checks that a search's proof is consistent and that it kept its limits.
func within(t *testing.T, p *ripwrightv1.Proof, o *ripwrightv1.SolveOptions) {
	t.Helper()
	if p.GetBound() < p.GetWorth() {
		t.Fatalf("the bound is below the worth: %v", p)
	}
	ended := p.GetEndedBy()
	if p.GetProven() != (ended == ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT) {
		t.Fatalf("proven, or ended by a limit, not both: %v", p)
	}
	if p.GetProven() && p.GetWork() > o.GetWorkLimit() {
		t.Fatalf("continued past %g steps: %v", o.GetWorkLimit(), p)
	}
}
