package modbus

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// Orders are byte orders of a value, with A the highest byte. Modbus defines only
// registers of two bytes, high byte first: the order of registers differs between PLCs.
var Orders = []string{"ABCD", "CDAB", "BADC", "DCBA"}

// types by their names in IEC 61131-3, with the registers of one element. A register
// holds two characters of a STRING.
var types = map[string]int{"UINT": 1, "UDINT": 2, "REAL": 2, "LREAL": 4, "STRING": 1}

// address is the place of a word: a register counted from 0, a type, the number of
// elements or characters, and the byte order.
type address struct {
	input bool // in the input registers, which are read-only
	first int
	kind  string
	array bool
	count int // of elements; of a STRING, of characters
	order string
}

// usage is the form of an address.
const usage = "must be REGISTER TYPE [COUNT] [ORDER], as in 100 REAL 60 CDAB: registers are counted from 0, input:100 is an input register; types are UINT, UDINT, REAL, LREAL and STRING"

// parse reads an address.
func parse(text, order string) (address, error) {
	fields := strings.Fields(text)
	if len(fields) < 2 {
		return address{}, fmt.Errorf("is %q; %s", text, usage)
	}
	a := address{count: 1, order: order, kind: strings.ToUpper(fields[1])}
	at, input := strings.CutPrefix(fields[0], "input:")
	a.input = input
	var err error
	if a.first, err = strconv.Atoi(at); err != nil || a.first < 0 || a.first > math.MaxUint16 {
		return a, fmt.Errorf("is %q; %s", text, usage)
	}
	if types[a.kind] == 0 {
		return a, fmt.Errorf("has an unknown type, %q; %s", fields[1], usage)
	}
	rest := fields[2:]
	if len(rest) > 0 {
		if n, err := strconv.Atoi(rest[0]); err == nil {
			if n < 1 || n > math.MaxUint16 {
				return a, fmt.Errorf("has %d elements; must have 1 to 65535", n)
			}
			a.count, a.array, rest = n, a.kind != "STRING", rest[1:]
		}
	}
	if len(rest) > 0 {
		a.order, rest = strings.ToUpper(rest[0]), rest[1:]
		if !slices.Contains(Orders, a.order) {
			return a, fmt.Errorf("has an unknown byte order, %q; must be one of %s", a.order, strings.Join(Orders, ", "))
		}
	}
	switch {
	case len(rest) > 0:
		return a, fmt.Errorf("is %q; %s", text, usage)
	case a.end() > math.MaxUint16+1:
		return a, fmt.Errorf("ends at register %d; the last is 65535", a.end()-1)
	}
	return a, nil
}

// end gives the register after the last.
func (a address) end() int {
	if a.kind == "STRING" {
		return a.first + (a.count+1)/2
	}
	return a.first + a.count*types[a.kind]
}

// put converts a value's bytes, in place, from high byte first to the PLC's order, or
// back.
func (a address) put(b []byte) {
	if a.order == "BADC" || a.order == "DCBA" { // swap the bytes of each register
		for i := 0; i+1 < len(b); i += 2 {
			b[i], b[i+1] = b[i+1], b[i]
		}
	}
	if a.kind != "STRING" && (a.order == "CDAB" || a.order == "DCBA") { // swap the registers of each element
		n := 2 * types[a.kind]
		for e := 0; e+n <= len(b); e += n {
			for i, k := e, e+n-2; i < k; i, k = i+2, k-2 {
				b[i], b[i+1], b[k], b[k+1] = b[k], b[k+1], b[i], b[i+1]
			}
		}
	}
}

// word of the mapping.
type word struct {
	contract.Word
	address
	unit float64 // mm in its unit; 1 if it is not a length
}

// value converts the bytes of a word.
func (w *word) value(b []byte) (plc.Value, error) {
	b = slices.Clone(b)
	w.put(b)
	var v any
	size := 2 * types[w.kind]
	if w.kind == "STRING" {
		text, _, _ := strings.Cut(string(b[:w.count]), "\x00")
		if !utf8.ValidString(text) {
			return plc.Value{}, &plc.Quality{Word: w.Name, Status: "is not UTF-8 text"}
		}
		v = strings.TrimRight(text, " ")
	} else if w.array {
		l := make([]float64, w.count)
		ns := make([]uint32, w.count)
		for i := range w.count {
			l[i], ns[i] = element(w.kind, b[i*size:])
		}
		if v = l; w.Kind == contract.Numbers {
			v = ns
		}
	} else {
		r, n := element(w.kind, b)
		if v = r; w.Kind == contract.Number {
			v = n
		}
	}
	x, err := plc.Of(w.Word, v)
	if err != nil {
		return x, &plc.Quality{Word: w.Name, Status: err.Error()}
	}
	if w.Length {
		x.R = w.mm(x.R)
		for i := range x.Rs {
			x.Rs[i] = w.mm(x.Rs[i])
		}
	}
	return x, nil
}

// mm converts a length. A REAL has seven digits, so it is rounded to a micrometre.
func (w *word) mm(v float64) float64 { return math.Round(v*w.unit*1000) / 1000 }

// element gives an element as a real number and as a whole number.
func element(kind string, b []byte) (float64, uint32) {
	var n uint32
	switch kind {
	case "UINT":
		n = uint32(binary.BigEndian.Uint16(b))
	case "UDINT":
		n = binary.BigEndian.Uint32(b)
	case "REAL":
		return float64(math.Float32frombits(binary.BigEndian.Uint32(b))), 0
	case "LREAL":
		return math.Float64frombits(binary.BigEndian.Uint64(b)), 0
	}
	return float64(n), n
}

// bytes gives the bytes of a value to write.
func (w *word) bytes(v plc.Value) ([]byte, error) {
	b := make([]byte, 0, 2*(w.end()-w.first))
	switch w.Kind {
	case contract.Text:
		if len(v.S) > w.count {
			return nil, fmt.Errorf("%q is longer than %d characters", v.S, w.count)
		}
		b = append(b, v.S...)
		b = append(b, make([]byte, cap(b)-len(b))...)
	case contract.Number:
		b = w.element(b, float64(v.N))
		if w.kind == "UINT" && v.N > math.MaxUint16 {
			return nil, fmt.Errorf("%d does not fit into UINT", v.N)
		}
	case contract.Real:
		b = w.element(b, v.R/w.unit)
	case contract.Reals:
		if len(v.Rs) != w.count {
			return nil, fmt.Errorf("has %d elements; %d are to be written", w.count, len(v.Rs))
		}
		for _, r := range v.Rs {
			b = w.element(b, r/w.unit)
		}
	default:
		return nil, fmt.Errorf("a %s is never written", w.Kind)
	}
	w.put(b)
	return b, nil
}

func (w *word) element(b []byte, v float64) []byte {
	switch w.kind {
	case "UINT":
		return binary.BigEndian.AppendUint16(b, uint16(v))
	case "UDINT":
		return binary.BigEndian.AppendUint32(b, uint32(v))
	case "REAL":
		return binary.BigEndian.AppendUint32(b, math.Float32bits(float32(v)))
	}
	return binary.BigEndian.AppendUint64(b, math.Float64bits(v))
}

// fits reports what is wrong with a word's address by itself.
func (w *word) fits() error {
	array := w.Kind == contract.Numbers || w.Kind == contract.Reals
	good := map[contract.Kind][]string{contract.Number: {"UDINT"}, contract.Numbers: {"UDINT", "UINT"}, contract.Real: {"REAL", "LREAL"},
		contract.Reals: {"REAL", "LREAL"}, contract.Text: {"STRING"}}[w.Kind]
	switch w.Name {
	case contract.Points, contract.PLCReason, contract.DeclinedReason, contract.PlanStrips, contract.PlanTurn:
		good = append(good, "UINT")
	case contract.ResultNumber, contract.ResultPlan, contract.ResultBoot:
		good = []string{"UDINT"}
	}
	switch {
	case !slices.Contains(good, w.kind):
		return fmt.Errorf("is %s; a %s must be %s", w.kind, w.Kind, strings.Join(good, " or "))
	case array && !w.array:
		return fmt.Errorf("has no COUNT of its elements; %s", usage)
	case !array && w.array:
		return fmt.Errorf("has COUNT %d; a %s has none", w.count, w.Kind)
	case w.Kind == contract.Text && w.count < 2:
		return fmt.Errorf("has no COUNT of its characters; %s", usage)
	case w.Ours && w.input:
		return fmt.Errorf("is written by the bridge, and input registers are read-only")
	}
	return nil
}
