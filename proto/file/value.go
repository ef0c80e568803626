package file

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// value reads a scalar; false after a fault.
func (r *reader) value(shown string, n ast.Node, f protoreflect.FieldDescriptor, withUnit bool) (protoreflect.Value, bool) {
	q, alias := QuantityOf(f)
	v, isScalar := scalar(n)
	text, isText := v.(string)
	says := ""
	switch {
	case !isScalar:
		says = "is " + kind(n) + "; must be " + wanted(f)
	case withUnit && isText:
		x, err := q.measure(text)
		if err == nil {
			return protoreflect.ValueOfFloat64(x), true
		}
		says = err.Error()
	case withUnit:
		if x, ok := number(v); ok && x == 0 {
			return protoreflect.ValueOfFloat64(0), true
		}
		example := q.example()
		if unit, ok := bareUnits[q]; ok {
			example = fmt.Sprint(v, unit)
		}
		says = fmt.Sprintf("is %v without a unit; write %s: %s, or %s: %v", v, alias, example, f.TextName(), v)
	default:
		if x, ok := plain(v, f); ok {
			return x, true
		}
		says = "is " + kind(n) + "; must be " + wanted(f)
		if q != Plain && isText {
			example := q.example()
			if _, err := q.measure(text); err == nil {
				example = text // only the field's name is wrong
			}
			says = fmt.Sprintf("is %s; must be a number. With a unit write %s: %s", kind(n), alias, example)
		}
	}
	r.refuse(line(n), shown, says)
	return protoreflect.Value{}, false
}

// bareUnits are the units that a bare number is most likely meant in; for the other
// quantities none is more likely than another.
//
//exhaustive:ignore
var bareUnits = map[Quantity]string{Length: "mm", Seconds: "s", Feed: "m/min", Speed: "mm/s"}

// plain converts a value of the file to the field's type; false if the field does not
// take it.
func plain(v any, f protoreflect.FieldDescriptor) (protoreflect.Value, bool) {
	switch f.Kind() {
	case protoreflect.DoubleKind:
		x, ok := number(v)
		return protoreflect.ValueOfFloat64(x), ok
	case protoreflect.Int32Kind:
		x, ok := number(v)
		if !ok || x != math.Trunc(x) || math.Abs(x) > math.MaxInt32 {
			return protoreflect.Value{}, false
		}
		return protoreflect.ValueOfInt32(int32(x)), true
	case protoreflect.BoolKind:
		b, ok := v.(bool)
		return protoreflect.ValueOfBool(b), ok
	case protoreflect.StringKind:
		s, ok := v.(string)
		return protoreflect.ValueOfString(s), ok
	case protoreflect.EnumKind:
		s, _ := v.(string)
		values := f.Enum().Values()
		for i := range values.Len() {
			if e := values.Get(i); e.Number() != 0 && (s == string(e.Name()) || s == Word(e)) {
				return protoreflect.ValueOfEnum(e.Number()), true
			}
		}
	}
	return protoreflect.Value{}, false
}

func number(v any) (float64, bool) {
	var x float64
	switch v := v.(type) {
	case float64:
		x = v
	case int64:
		x = float64(v)
	case uint64:
		x = float64(v)
	case int:
		x = float64(v)
	case string: // in quotes, as JSON of messages may be
		if json.Unmarshal([]byte(v), &x) != nil {
			return 0, false
		}
	default:
		return 0, false
	}
	return x, !math.IsNaN(x) && !math.IsInf(x, 0)
}

// scalar gives the value of a plain scalar. Anchors, aliases and tags would pass
// for scalars as well.
func scalar(n ast.Node) (any, bool) {
	switch n := n.(type) {
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode, *ast.MergeKeyNode, *ast.NullNode:
		return nil, false
	case *ast.LiteralNode:
		return n.Value.Value, true
	case ast.ScalarNode:
		return n.GetValue(), true
	}
	return nil, false
}

// kind describes a node of the file.
func kind(n ast.Node) string {
	switch n.(type) {
	case *ast.NullNode:
		return "empty"
	case *ast.MappingNode, *ast.MappingValueNode:
		return "a group of fields"
	case *ast.SequenceNode:
		return "a list"
	}
	v, ok := scalar(n)
	if text, is := v.(string); is {
		return fmt.Sprintf("the text %q", text)
	} else if ok {
		return fmt.Sprint(v)
	}
	return "an anchor, an alias or a tag, which these files do not take"
}

// wanted describes the values of a field.
func wanted(f protoreflect.FieldDescriptor) string {
	switch f.Kind() {
	case protoreflect.StringKind:
		return "text, in quotes where it looks like something else"
	case protoreflect.BoolKind:
		return "true or false"
	case protoreflect.Int32Kind:
		return "a whole number"
	case protoreflect.EnumKind:
		var words []string
		for i := range f.Enum().Values().Len() {
			if e := f.Enum().Values().Get(i); e.Number() != 0 {
				words = append(words, Word(e))
			}
		}
		return strings.Join(words, " or ")
	}
	return "a number"
}

// Word is the short form of an enum value: length for VALUE_PER_LENGTH.
func Word(v protoreflect.EnumValueDescriptor) string {
	prefix := string(v.Parent().(protoreflect.EnumDescriptor).Values().ByNumber(0).Name())
	prefix = strings.TrimSuffix(prefix, "UNSPECIFIED")
	return strings.ToLower(strings.TrimPrefix(string(v.Name()), prefix))
}
