package trial

import (
	"math"
	"slices"
	"strings"
	"testing"

	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	"github.com/ripwright/ripwright/proto/limits"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/brief"
)

// requests are the good ones that the tests here spoil.
func requests(t *testing.T) []proto.Message {
	return append(append(searches(t), goodInstructed(t), goodConfirm(t)), plans(t)...)
}

// searches are those that need a solver.
func searches(t *testing.T) []proto.Message {
	return []proto.Message{goodSolve(t), goodCheck(t), goodDraw(t)}
}

// refused checks that exactly one field is named, with what would be right.
func refused(t *testing.T, h *house, what string, req proto.Message, field, says string) {
	t.Helper()
	v := h.either(t, req)
	if v.status.Code() != codes.InvalidArgument || !slices.Equal(v.fields(), []string{field}) {
		t.Errorf("%s: %s\nwant INVALID_ARGUMENT for %s alone", what, v, field)
	} else if !strings.Contains(v.says(), says) {
		t.Errorf("%s: %s\nwant it to say %q", what, v, says)
	}
}

// Every number of every request that is not a number, infinite or beyond either end of
// its range is refused by its path, with a description that contains the range.
func TestWrongNumbers(t *testing.T) {
	h, tried := open(t), once{}
	for _, req := range requests(t) {
		for _, s := range spots(req.ProtoReflect()) {
			g, ok := limits.Of(s.field, limits.Numbers)
			if !ok || s.field.IsList() && s.entry < 0 || tried.again(s) {
				continue
			}
			for _, v := range wrongNumbers(s.field.Kind(), g) {
				refused(t, h, s.path+" = "+v.String(), s.with(req, v), s.path, g.String())
			}
		}
	}
	quiet(t, h)
}

// wrongNumbers are those outside a range that a field can hold.
func wrongNumbers(k protoreflect.Kind, g limits.Range) (all []protoreflect.Value) {
	wrong := []float64{math.NaN(), math.Inf(1), 0, g.Least - 1, g.Most * 1.001, 0.5}
	if !brief.On() {
		wrong = append(wrong, math.Inf(-1), -1, g.Most+1, -math.MaxFloat64, math.MaxFloat64)
	}
	for _, v := range wrong {
		switch {
		case g.Holds(v):
		case k == protoreflect.DoubleKind:
			all = append(all, protoreflect.ValueOfFloat64(v))
		case v == math.Trunc(v) && v >= math.MinInt32 && v <= math.MaxInt32:
			all = append(all, protoreflect.ValueOfInt32(int32(v)))
		}
	}
	return all
}

// refers reports whether a spot names an item or a lot that must occur elsewhere in the
// request too.
func refers(req proto.Message, s spot) bool {
	quote, is := req.(*ripwrightv1.QuoteOrderRequest)
	if m, watched := req.(*ripwrightv1.WatchQuoteRequest); watched {
		quote, is = m.GetQuote(), true
	}
	if is && quote.GetBuyList() != nil && strings.HasSuffix(s.path, "lumber.lots[1].lot_id") {
		return true
	}
	if m, is := req.(*ripwrightv1.SolveBoardRequest); is && m.GetInstructions() != nil {
		return s.field.Name() == "item_id" || s.field.Name() == "items" || s.field.Name() == "forbidden" && s.entry >= 0
	}
	switch req.(type) {
	case *ripwrightv1.ConfirmCutRequest:
		return s.field.Name() == "item_id" || s.field.Name() == "order_id" && strings.HasPrefix(s.path, "strips[")
	case *ripwrightv1.ShareOrderRequest: // fills and rules name items, and all lines have one kind of pace
		return s.field.Name() == "item_id" || s.field.Name() == "length_mm" && (strings.Contains(s.path, "lengths[") && !strings.HasPrefix(s.path, "order."))
	case *ripwrightv1.PlanValuesRequest, *ripwrightv1.QuoteOrderRequest, *ripwrightv1.WatchQuoteRequest:
		return s.field.Name() == "item_id" && !strings.Contains(s.path, "items[2]") && !strings.Contains(s.path, "items[3]")
	}
	return false
}

// readAlike reports whether a spot of a request about whole orders is read as in other
// requests, whose tests try its valid values: a plan takes long. So does one with the
// default size of sample.
func readAlike(req proto.Message, s spot) bool {
	_, planned := planPath(req)
	_, watched := req.(*ripwrightv1.WatchQuoteRequest)
	return watched || planned != nil && s.field.Name() == "sample_boards" || planned != nil &&
		(strings.HasPrefix(s.path, "saw.") || strings.Contains(s.path, "].saw.") || strings.Contains(s.path, "expected[") || strings.Contains(s.path, "order.") || strings.Contains(s.path, "board."))
}

// The same holds for every string that is too long, every list with too many entries and
// every unknown enum value.
func TestWrongSizes(t *testing.T) {
	h, tried := open(t), once{}
	for _, req := range requests(t) {
		for _, s := range spots(req.ProtoReflect()) {
			if refers(req, s) {
				continue // names an item, which the value tried here does not
			}
			if tried.again(s) {
				continue
			}
			if g, ok := limits.Of(s.field, limits.Characters); ok && (!s.field.IsList() || s.entry >= 0) {
				// Characters are counted, not bytes.
				longest := protoreflect.ValueOfString(strings.Repeat("ß", int(g.Most)))
				tooLong := protoreflect.ValueOfString(strings.Repeat("ß", int(g.Most)+1))
				refused(t, h, s.path+" too long", s.with(req, tooLong), s.path, g.String())
				if readAlike(req, s) || quickly(req) {
					continue
				}
				if v := h.either(t, s.with(req, longest)); v.status.Code() != codes.OK {
					t.Errorf("%s with as many characters as are allowed: %s", s.path, v)
				}
			}
			if g, ok := limits.Of(s.field, limits.Entries); ok && s.entry < 0 {
				refused(t, h, s.path+" too many", s.stretched(req, int(g.Most)+1), s.path, g.String())
			}
			if s.field.Kind() == protoreflect.EnumKind && (!s.field.IsList() || s.entry >= 0) {
				known := lastOf(s.field)
				refused(t, h, s.path+" unknown", s.with(req, protoreflect.ValueOfEnum(99)), s.path, known)
			}
		}
	}
	quiet(t, h)
}

// The good requests leave no field out: whatever the schema gains must be tried here too.
func TestEveryFieldIsTried(t *testing.T) {
	tried := map[protoreflect.FullName]bool{}
	var all []protoreflect.FieldDescriptor
	var list func(m protoreflect.MessageDescriptor)
	list = func(m protoreflect.MessageDescriptor) {
		for i := range m.Fields().Len() {
			f := m.Fields().Get(i)
			all = append(all, f)
			if f.Message() != nil {
				list(f.Message())
			}
		}
	}
	for _, req := range requests(t) {
		list(req.ProtoReflect().Descriptor())
		for _, s := range spots(req.ProtoReflect()) {
			tried[s.field.FullName()] = true
		}
	}
	for _, f := range all {
		// Of a saw's two forms the good requests use the other one; the name has separate
		// tests.
		if !tried[f.FullName()] && f.Name() != "saw_name" {
			t.Errorf("no valid request sets %s", f.FullName())
		}
	}
}

// lastOf is the last word of an enum, which a refusal of an unknown value names.
func lastOf(f protoreflect.FieldDescriptor) string {
	words := f.Enum().Values()
	return string(words.Get(words.Len() - 1).Name())
}
