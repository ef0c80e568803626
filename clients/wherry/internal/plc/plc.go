// Package plc is the interface of the bridge to a PLC, whatever the protocol: words that
// are read and written together.
package plc

import (
	"context"
	"errors"
	"fmt"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// Value of a word. Lengths are in mm.
type Value struct {
	N  uint32
	Ns []uint32
	R  float64
	Rs []float64
	S  string
}

// Values by the words' names.
type Values map[string]Value

// PLC is a connection to a PLC. It is not safe for concurrent use.
type PLC interface {
	// Read gives words that belong together. A word without good quality is an error of
	// Quality; without a connection it is ErrGone.
	Read(ctx context.Context, names ...string) (Values, error)
	// Write writes words in one request. After an error they may have been written.
	Write(ctx context.Context, values Values) error
	// Has reports whether the mapping has a word.
	Has(name string) bool
	// Entries gives the number of entries of an array; 0 if not known.
	Entries(name string) int
	Close() error
}

// ErrGone says that there is no connection.
var ErrGone = errors.New("the PLC does not answer")

// Quality is the error of a word without a reliable value.
type Quality struct {
	Word   string
	Status string
}

func (q *Quality) Error() string { return fmt.Sprintf("%s: %s", q.Word, q.Status) }

// Finding is a mismatch between a mapping and a PLC.
type Finding struct {
	Word string
	Says string
}

// Checker is a PLC that a mapping can be compared with.
type Checker interface {
	// Check checks every word of a mapping: whether it exists, has the right type and
	// length and a known unit, and can be read or written.
	Check(ctx context.Context) ([]Finding, error)
}

// Of converts a value of a protocol.
func Of(w contract.Word, v any) (Value, error) {
	switch w.Kind {
	case contract.Number:
		n, ok := whole(v)
		if ok {
			return Value{N: n}, nil
		}
	case contract.Real:
		r, ok := number(v)
		if ok {
			return Value{R: r}, nil
		}
	case contract.Text:
		if s, ok := v.(string); ok {
			return Value{S: s}, nil
		}
	case contract.Numbers:
		if l, ok := each(v, whole); ok {
			return Value{Ns: l}, nil
		}
	case contract.Reals:
		if l, ok := each(v, number); ok {
			return Value{Rs: l}, nil
		}
	}
	return Value{}, fmt.Errorf("holds %T, not a %s", v, w.Kind)
}

func whole(v any) (uint32, bool) {
	var n int64
	switch x := v.(type) {
	case uint8:
		n = int64(x)
	case uint16:
		n = int64(x)
	case uint32:
		n = int64(x)
	case int8:
		n = int64(x)
	case int16:
		n = int64(x)
	case int32:
		n = int64(x)
	case int64:
		n = x
	case uint64:
		n = int64(min(x, 1<<63-1))
	default:
		return 0, false
	}
	return uint32(n), n >= 0 && n <= 1<<32-1
}

func number(v any) (float64, bool) {
	switch x := v.(type) {
	case float32:
		return float64(x), true
	case float64:
		return x, true
	}
	n, ok := whole(v)
	return float64(n), ok
}

// each converts an array of any of the types that an element can have.
func each[T any](v any, of func(any) (T, bool)) ([]T, bool) {
	switch l := v.(type) {
	case []byte:
		return all(l, of)
	case []uint16:
		return all(l, of)
	case []uint32:
		return all(l, of)
	case []uint64:
		return all(l, of)
	case []int8:
		return all(l, of)
	case []int16:
		return all(l, of)
	case []int32:
		return all(l, of)
	case []int64:
		return all(l, of)
	case []float32:
		return all(l, of)
	case []float64:
		return all(l, of)
	}
	return nil, false
}

func all[E, T any](l []E, of func(any) (T, bool)) ([]T, bool) {
	r := make([]T, len(l))
	for i, x := range l {
		var ok bool
		if r[i], ok = of(x); !ok {
			return nil, false
		}
	}
	return r, true
}
