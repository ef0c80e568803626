package opcua

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/gopcua/opcua/ua"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

func named(t *testing.T, name string) contract.Word {
	t.Helper()
	w, ok := contract.Named(name)
	if !ok {
		t.Fatal(name)
	}
	return w
}

// Only values of good quality, of the word's kind and within its range count; lengths are
// converted to mm.
func TestValue(t *testing.T) {
	good := func(v any) *ua.DataValue { return &ua.DataValue{Value: ua.MustVariant(v)} }
	length := &word{Word: named(t, contract.BoardLength), unit: 25.4, low: 0, high: 200}
	edges := &word{Word: named(t, contract.Near), unit: 1}
	number := &word{Word: named(t, contract.ScanNumber), unit: 1}
	for name, c := range map[string]struct {
		w    *word
		v    *ua.DataValue
		want string // of the fault
	}{
		"uncertain":           {number, &ua.DataValue{Value: ua.MustVariant(uint32(3)), Status: ua.StatusUncertainLastUsableValue}, "scan_number: "},
		"bad":                 {number, &ua.DataValue{Status: ua.StatusBadNotConnected}, "scan_number: "},
		"nothing":             {number, &ua.DataValue{}, "has no value"},
		"text for a number":   {number, good("3"), "holds string"},
		"a number below 0":    {number, good(int32(-1)), "holds int32"},
		"one for an array":    {edges, good(float32(3)), "holds float32"},
		"beyond the range":    {length, good(201.0), "201 is outside its range, 0 to 200"},
		"no number, in range": {length, good(math.NaN()), ""},
	} {
		_, err := c.w.value(c.v)
		var q *plc.Quality
		if c.want == "" {
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if !errors.As(err, &q) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if v, err := length.value(good(100.0)); err != nil || v.R != 2540 {
		t.Errorf("%v %v", v, err)
	}
	if v, err := edges.value(good([]float32{153.6, 0})); err != nil || v.Rs[0] != 153.6 {
		t.Errorf("%v %v: a 32-bit real gains digits in conversion", v, err)
	}
	if v, err := number.value(good(uint32(math.MaxUint32))); err != nil || v.N != math.MaxUint32 {
		t.Errorf("%v %v", v, err)
	}
}

// What is written has the type of the PLC's node, and its unit.
func TestVariant(t *testing.T) {
	fence := named(t, contract.PlanFence)
	for _, c := range []struct {
		w    word
		v    plc.Value
		want any
	}{
		{word{Word: fence, unit: 25.4, kind: ua.TypeIDFloat}, plc.Value{R: 254}, float32(10)},
		{word{Word: fence, unit: 1, kind: ua.TypeIDDouble}, plc.Value{R: 254}, 254.0},
		{word{Word: named(t, contract.PlanNumber), unit: 1, kind: ua.TypeIDUint32}, plc.Value{N: math.MaxUint32}, uint32(math.MaxUint32)},
		{word{Word: named(t, contract.PlanNumber), unit: 1, kind: ua.TypeIDUint16}, plc.Value{N: 70000}, nil},
		{word{Word: named(t, contract.DeclinedReason), unit: 1, kind: ua.TypeIDUint16}, plc.Value{N: 7}, uint16(7)},
	} {
		got, err := c.w.variant(c.v)
		if (err != nil) != (c.want == nil) || err == nil && got.Value() != c.want {
			t.Errorf("%s as %s: %v %v, want %v", c.w.Name, c.w.kind, got, err, c.want)
		}
	}
}

// A node without a namespace is in the mapping's; one that names another is in that.
func TestNode(t *testing.T) {
	uris := []string{"http://opcfoundation.org/UA/", "urn:server", "urn:plant.example:saw"}
	for at, want := range map[string]string{
		"s=Hand.boot": "ns=2;s=Hand.boot", "nsu=urn:server;i=17": "ns=1;i=17", "nsu=urn:gone;i=17": "",
	} {
		n, err := node(at, "urn:plant.example:saw", uris)
		if (err != nil) != (want == "") || err == nil && n.String() != want {
			t.Errorf("%s: %v %v, want %s", at, n, err, want)
		}
	}
}

// The numbers of units, by OPC 10000-8 from the codes of UN/CEFACT Recommendation 20:
// that of the millimetre is 5066068 in node-opcua's table as well.
func TestUnits(t *testing.T) {
	if unitsOfLength[5066068] != 1 || unitsOfLength[4804168] != 25.4 {
		t.Error(unitsOfLength)
	}
}

// A ring whose arrays do not have an element for each slot is reported, and so are edges
// of different lengths.
func TestShortArray(t *testing.T) {
	entries := map[string]int{contract.ResultNumber: 15, contract.ResultPlan: 16, contract.ResultOutcome: 32, contract.ResultWidths: 100, contract.Near: 60, contract.Far: 59, contract.Positions: 60}
	p := &PLC{words: map[string]*word{}, slots: 16}
	for _, w := range contract.Words {
		x := &word{Word: w, access: ua.AccessLevelTypeCurrentRead | ua.AccessLevelTypeCurrentWrite, entries: 16}
		x.kind = map[contract.Kind]ua.TypeID{contract.Number: ua.TypeIDUint32, contract.Numbers: ua.TypeIDUint32, contract.Real: ua.TypeIDFloat, contract.Reals: ua.TypeIDFloat, contract.Text: ua.TypeIDString}[w.Kind]
		x.array = w.Kind == contract.Numbers || w.Kind == contract.Reals
		if n, ok := entries[w.Name]; ok {
			x.entries = n
		}
		p.words[w.Name] = x
	}
	l, err := p.Check(t.Context())
	got := ""
	for _, f := range l {
		got += f.Word + " " + f.Says + "\n"
	}
	const want = `far has 59 elements; near has 60
result_number has 15 elements; the ring has 16 slots
result_outcome has 32 elements; the ring has 16 slots
result_widths has 100 elements; the ring has 16 slots
`
	if err != nil || got != want {
		t.Errorf("%v %s", err, got)
	}
}

// Each mismatch is reported in a few words.
func TestFindings(t *testing.T) {
	all := ua.AccessLevelTypeCurrentRead | ua.AccessLevelTypeCurrentWrite
	for name, c := range map[string]struct {
		w    word
		want string
	}{
		"fits":         {word{Word: named(t, contract.PlanNumber), kind: ua.TypeIDUint32, access: all}, ""},
		"16 bits":      {word{Word: named(t, contract.PlanNumber), kind: ua.TypeIDUint16, access: all}, "has type Uint16, which cannot hold a 32-bit number"},
		"a reason":     {word{Word: named(t, contract.DeclinedReason), kind: ua.TypeIDUint16, access: all}, ""},
		"no rights":    {word{Word: named(t, contract.PlanNumber), kind: ua.TypeIDUint32, access: ua.AccessLevelTypeCurrentRead}, "cannot be written"},
		"not readable": {word{Word: named(t, contract.Boot), kind: ua.TypeIDUint32}, "cannot be read"},
		"no array":     {word{Word: named(t, contract.Near), kind: ua.TypeIDFloat, access: all}, "must be an array"},
		"a unit":       {word{Word: named(t, contract.BoardLength), kind: ua.TypeIDFloat, access: all, strange: 17}, "not a known unit of length"},
	} {
		got := strings.Join(c.w.findings(), "; ")
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q", name, got)
		}
	}
}
