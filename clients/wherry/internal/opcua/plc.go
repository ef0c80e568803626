package opcua

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/gopcua/opcua"
	"github.com/gopcua/opcua/ua"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// PLC is a connection to one.
type PLC struct {
	client  *opcua.Client
	words   map[string]*word
	slots   int // of the ring
	timeout time.Duration
	order   []string // names of the words, in the order of the contract
}

// word of the mapping, with its properties in the PLC.
type word struct {
	contract.Word
	node    *ua.NodeID
	kind    ua.TypeID // type of an element
	array   bool
	entries int
	unit    float64 // mm in its unit; 1 if it is not a length
	told    bool    // the PLC gives its unit
	strange int32   // an unknown unit of length
	low     float64 // its range, in its unit
	high    float64
	access  ua.AccessLevelType
	fault   error // why it cannot be read
}

// Has reports whether the mapping has a word.
func (p *PLC) Has(name string) bool { return p.words[name] != nil }

// Entries gives how many entries an array has.
func (p *PLC) Entries(name string) int {
	if w := p.words[name]; w != nil {
		return w.entries
	}
	return 0
}

// Close ends the connection.
func (p *PLC) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), p.timeout)
	defer cancel()
	return p.client.Close(ctx)
}

// Read reads words in one request.
func (p *PLC) Read(ctx context.Context, names ...string) (plc.Values, error) {
	q := &ua.ReadRequest{TimestampsToReturn: ua.TimestampsToReturnNeither}
	for _, n := range names {
		w := p.words[n]
		if w == nil {
			return nil, fmt.Errorf("the mapping has no word %s", n)
		}
		q.NodesToRead = append(q.NodesToRead, &ua.ReadValueID{NodeID: w.node, AttributeID: ua.AttributeIDValue})
	}
	ctx, cancel := context.WithTimeout(ctx, p.timeout)
	defer cancel()
	a, err := p.client.Read(ctx, q)
	if err != nil {
		return nil, errors.Join(plc.ErrGone, err)
	}
	if len(a.Results) != len(names) {
		return nil, fmt.Errorf("%w: %d values for %d words", plc.ErrGone, len(a.Results), len(names))
	}
	v := plc.Values{}
	for i, n := range names {
		x, err := p.words[n].value(a.Results[i])
		if err != nil {
			return nil, err
		}
		v[n] = x
	}
	return v, nil
}

// value converts a value of good quality within its range.
func (w *word) value(d *ua.DataValue) (plc.Value, error) {
	if d.Status != ua.StatusOK {
		return plc.Value{}, &plc.Quality{Word: w.Name, Status: d.Status.Error()}
	}
	if d.Value == nil || d.Value.Value() == nil {
		return plc.Value{}, &plc.Quality{Word: w.Name, Status: "has no value"}
	}
	x, err := plc.Of(w.Word, d.Value.Value())
	if err != nil {
		return x, &plc.Quality{Word: w.Name, Status: err.Error()}
	}
	all := x.Rs
	if w.Kind == contract.Real {
		all = []float64{x.R}
	}
	for _, r := range all {
		if w.high > w.low && (r < w.low || r > w.high) {
			return x, &plc.Quality{Word: w.Name, Status: fmt.Sprintf("%v is outside its range, %v to %v", r, w.low, w.high)}
		}
	}
	if w.Length {
		x.R = w.mm(x.R)
		for i := range x.Rs {
			x.Rs[i] = w.mm(x.Rs[i])
		}
	}
	return x, nil
}

// mm converts a length. A real number of 32 bits has seven digits, so it is rounded to a
// micrometre.
func (w *word) mm(v float64) float64 { return math.Round(v*w.unit*1000) / 1000 }

// Write writes words in one request.
func (p *PLC) Write(ctx context.Context, values plc.Values) error {
	q := &ua.WriteRequest{}
	var names []string
	for _, n := range p.order {
		v, ok := values[n]
		if !ok {
			continue
		}
		x, err := p.words[n].variant(v)
		if err != nil {
			return fmt.Errorf("%s: %w", n, err)
		}
		names = append(names, n)
		q.NodesToWrite = append(q.NodesToWrite, &ua.WriteValue{NodeID: p.words[n].node, AttributeID: ua.AttributeIDValue,
			Value: &ua.DataValue{EncodingMask: ua.DataValueValue, Value: x}})
	}
	if len(names) != len(values) {
		return fmt.Errorf("the mapping lacks some of %v", values)
	}
	ctx, cancel := context.WithTimeout(ctx, p.timeout)
	defer cancel()
	a, err := p.client.Write(ctx, q)
	if err != nil {
		return errors.Join(plc.ErrGone, err)
	}
	for i, s := range a.Results {
		if s != ua.StatusOK {
			return fmt.Errorf("%s cannot be written: %w", names[i], s)
		}
	}
	return nil
}

// variant converts a value to the PLC's type.
func (w *word) variant(v plc.Value) (*ua.Variant, error) {
	switch w.Kind {
	case contract.Text:
		return ua.NewVariant(v.S)
	case contract.Number:
		return numeral(w.kind, float64(v.N))
	case contract.Real:
		return numeral(w.kind, v.R/w.unit)
	case contract.Reals:
		if w.kind == ua.TypeIDDouble {
			l := make([]float64, len(v.Rs))
			for i, r := range v.Rs {
				l[i] = r / w.unit
			}
			return ua.NewVariant(l)
		}
		l := make([]float32, len(v.Rs))
		for i, r := range v.Rs {
			l[i] = float32(r / w.unit)
		}
		return ua.NewVariant(l)
	default:
		return nil, fmt.Errorf("a %s is never written", w.Kind)
	}
}

func numeral(kind ua.TypeID, v float64) (*ua.Variant, error) {
	switch kind {
	case ua.TypeIDUint32:
		return ua.NewVariant(uint32(v))
	case ua.TypeIDInt64:
		return ua.NewVariant(int64(v))
	case ua.TypeIDUint64:
		return ua.NewVariant(uint64(v))
	case ua.TypeIDUint16:
		if v <= math.MaxUint16 {
			return ua.NewVariant(uint16(v))
		}
	case ua.TypeIDFloat:
		return ua.NewVariant(float32(v))
	case ua.TypeIDDouble:
		return ua.NewVariant(v)
	default:
	}
	return nil, fmt.Errorf("%v does not fit into %s", v, strings.TrimPrefix(kind.String(), "TypeID"))
}
