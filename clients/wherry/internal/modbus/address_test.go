package modbus

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/simonvetter/modbus"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

func at(t *testing.T, name, text, order string) *word {
	t.Helper()
	k, ok := contract.Named(name)
	if !ok {
		t.Fatal(name)
	}
	a, err := parse(text, order)
	if err != nil {
		t.Fatal(err)
	}
	w := &word{Word: k, address: a, unit: 1}
	if err := w.fits(); err != nil {
		t.Fatal(err)
	}
	return w
}

// 123456 is 47F12000 by IEEE 754, binary32. The result of each order is common practice.
func TestOrders(t *testing.T) {
	for order, want := range map[string]string{"ABCD": "\x47\xf1\x20\x00", "CDAB": "\x20\x00\x47\xf1", "BADC": "\xf1\x47\x00\x20", "DCBA": "\x00\x20\xf1\x47"} {
		w := at(t, contract.PlanFence, "0 REAL", order)
		b, err := w.bytes(plc.Value{R: 123456})
		if err != nil || string(b) != want {
			t.Errorf("%s: % x, want % x: %v", order, b, want, err)
		}
		if v, err := w.value([]byte(want)); err != nil || v.R != 123456 {
			t.Errorf("%s: %v %v", order, v, err)
		}
	}
	// 1 is 3FF0000000000000 by IEEE 754, binary64.
	w := at(t, contract.PlanFence, "0 LREAL", "CDAB")
	if b, err := w.bytes(plc.Value{R: 1}); err != nil || string(b) != "\x00\x00\x00\x00\x00\x00\x3f\xf0" {
		t.Errorf("% x %v", b, err)
	}
}

// The client library reads what is written here, in each of the orders that it supports.
func TestAsLibrary(t *testing.T) {
	m := serve(t, map[string]bool{})
	for i := range m.there {
		m.there[i] = true
	}
	p, err := Dial(t.Context(), Config{Address: m.at, UnitID: 1, Order: "ABCD", Slots: 16, Unit: 1, Timeout: 5e9, Unsecured: true, Words: map[string]string{}})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = p.Close() }()
	for order, c := range map[string]struct {
		e modbus.Endianness
		w modbus.WordOrder
	}{"ABCD": {modbus.BIG_ENDIAN, modbus.HIGH_WORD_FIRST}, "CDAB": {modbus.BIG_ENDIAN, modbus.LOW_WORD_FIRST},
		"BADC": {modbus.LITTLE_ENDIAN, modbus.HIGH_WORD_FIRST}, "DCBA": {modbus.LITTLE_ENDIAN, modbus.LOW_WORD_FIRST}} {
		for _, x := range []string{"10 REAL 3", "20 LREAL 3"} {
			w := at(t, contract.PlanBlades, x, order)
			p.words[w.Name], p.order = w, []*word{w}
			if err := p.Write(t.Context(), plc.Values{w.Name: {Rs: []float64{1.5, -2.25, 1024}}}); err != nil {
				t.Fatal(err)
			}
		}
		if err := p.client.SetEncoding(c.e, c.w); err != nil {
			t.Fatal(err)
		}
		r, err := p.client.ReadFloat32s(10, 3, modbus.HOLDING_REGISTER)
		if err != nil || !reflect.DeepEqual(r, []float32{1.5, -2.25, 1024}) {
			t.Errorf("%s: %v %v", order, r, err)
		}
		l, err := p.client.ReadFloat64s(20, 3, modbus.HOLDING_REGISTER)
		if err != nil || !reflect.DeepEqual(l, []float64{1.5, -2.25, 1024}) {
			t.Errorf("%s: %v %v", order, l, err)
		}
	}
}

// Values are transferred unchanged, lengths in mm, and what does not fit is refused.
func TestValues(t *testing.T) {
	inch := at(t, contract.BoardLength, "0 REAL", "CDAB")
	inch.unit = 25.4
	b, err := (&word{Word: inch.Word, address: inch.address, unit: 1}).bytes(plc.Value{R: 100})
	if err != nil {
		t.Fatal(err)
	}
	if v, err := inch.value(b); err != nil || v.R != 2540 {
		t.Errorf("%v %v", v, err)
	}
	number := at(t, contract.PlanNumber, "0 UDINT", "CDAB")
	if b, err = number.bytes(plc.Value{N: math.MaxUint32 - 1}); err != nil || string(b) != "\xff\xfe\xff\xff" {
		t.Errorf("% x %v", b, err)
	}
	if v, err := number.value(b); err != nil || v.N != math.MaxUint32-1 {
		t.Errorf("%v %v", v, err)
	}
	text := at(t, contract.PlanBoardID, "0 STRING 5", "BADC")
	if b, err = text.bytes(plc.Value{S: "board"}); err != nil || string(b) != "obra\x00d" {
		t.Errorf("%q %v", b, err)
	}
	if v, err := text.value(b); err != nil || v.S != "board" {
		t.Errorf("%v %v", v, err)
	}
	if v, err := text.value([]byte("a \x00\x00\x00\x00")); err != nil || v.S != " a" {
		t.Errorf("%+v %v", v, err)
	}
	var q *plc.Quality
	if v, err := text.value([]byte("\xff\xff\xff\xff\xff\xff")); !errors.As(err, &q) {
		t.Errorf("%v %v", v, err)
	}
	for _, c := range []struct {
		w *word
		v plc.Value
	}{{text, plc.Value{S: "boards"}}, {at(t, contract.DeclinedReason, "0 UINT", "ABCD"), plc.Value{N: 65536}}, {at(t, contract.PlanBlades, "0 REAL 4", "ABCD"), plc.Value{Rs: []float64{1}}}} {
		if b, err := c.w.bytes(c.v); err == nil {
			t.Errorf("%s: % x", c.w.Name, b)
		}
	}
}

// mapped is a mapping by Modbus without errors.
func mapped() map[string]string {
	return map[string]string{
		contract.Boot: "0 UDINT", contract.Life: "2 UDINT", contract.ScanNumber: "4 UDINT", contract.Accepted: "6 UDINT", contract.PLCRefused: "8 UDINT",
		contract.PLCReason: "10 UINT", contract.Results: "12 UDINT", contract.BridgeSession: "14 UDINT", contract.BridgeLife: "16 UDINT",
		contract.BoardID: "20 STRING 20", contract.BoardLength: "30 REAL", contract.Points: "32 UDINT", contract.Near: "100 REAL 60", contract.Far: "220 REAL 60",
		contract.Positions: "340 LREAL 60", contract.ResultNumber: "600 UDINT 16", contract.ResultPlan: "632 UDINT 16", contract.ResultOutcome: "664 UINT 16",
		contract.ResultWidths: "680 REAL 192", contract.PlanBoardID: "1100 STRING 24", contract.PlanArbor: "1112 STRING 24", contract.PlanFence: "1124 REAL",
		contract.PlanBlades: "1126 REAL 4", contract.PlanStrips: "1134 UDINT", contract.PlanWidths: "1136 REAL 12", contract.PlanNumber: "1160 UDINT",
		contract.DeclinedReason: "1162 UDINT", contract.Declined: "1164 UDINT", contract.ResultsTaken: "1166 UDINT",
	}
}

// Errors in an address are reported with the word.
func TestFaults(t *testing.T) {
	if l := Faults(mapped(), "CDAB", 16); len(l) != 0 {
		t.Fatal(l)
	}
	for _, c := range []struct{ word, address, want string }{
		{contract.Boot, "", "must be REGISTER TYPE"},
		{contract.Boot, "x UDINT", "must be REGISTER TYPE"},
		{contract.Boot, "400001 UDINT", "must be REGISTER TYPE"},
		{contract.Boot, "0 DWORD", `has an unknown type, "DWORD"`},
		{contract.Boot, "0 UINT", "is UINT; a number must be UDINT"},
		{contract.Boot, "0 UDINT 2", "has COUNT 2; a number has none"},
		{contract.Boot, "0 UDINT ACBD", `has an unknown byte order, "ACBD"`},
		{contract.Boot, "0 UDINT 1 CDAB more", "must be REGISTER TYPE"},
		{contract.Near, "100 REAL", "has no COUNT of its elements"},
		{contract.Near, "100 REAL 61", "begins at register 220, which near also has"},
		{contract.Near, "100 REAL 59", "has 60 elements; near has 59"},
		{contract.Near, "65500 REAL 60", "ends at register 65619"},
		{contract.Near, "100 REAL 0", "must have 1 to 65535"},
		{contract.PlanFence, "input:1124 REAL", "input registers are read-only"},
		{contract.PlanArbor, "1112 STRING 23", "a fingerprint has 24"},
		{contract.PlanBoardID, "1100 STRING 20", "a board's name can have 21"},
		{contract.ResultPlan, "632 UDINT 15", "has 15 elements; the ring has 16 slots"},
		{contract.ResultNumber, "2000 UINT 16", "is UINT"},
		{contract.ResultWidths, "680 REAL 100", "has 100 elements; the ring has 16 slots"},
		{contract.BoardID, "20 STRING", "has no COUNT of its characters"},
	} {
		m := mapped()
		m[c.word] = c.address
		l := Faults(m, "CDAB", 16)
		all := ""
		for _, f := range l {
			all += f.Word + " " + f.Says + "\n"
		}
		if !strings.Contains(all, c.want) {
			t.Errorf("%s: %s: %q, want %q", c.word, c.address, all, c.want)
		}
	}
}

// Adjacent words are read together, and nothing that belongs to no word.
func TestSpans(t *testing.T) {
	w := func(first, n int) *word { return &word{address: address{first: first, kind: "UINT", count: n}} }
	type from [2]int
	for name, c := range map[string]struct {
		words []*word
		want  []from
	}{
		"side by side":      {[]*word{w(0, 2), w(2, 2), w(4, 4)}, []from{{0, 8}}},
		"a gap":             {[]*word{w(0, 2), w(3, 2)}, []from{{0, 2}, {3, 5}}},
		"a long one":        {[]*word{w(10, 300)}, []from{{10, 135}, {135, 260}, {260, 310}}},
		"just fits":         {[]*word{w(0, 120), w(120, 5)}, []from{{0, 125}}},
		"just does not fit": {[]*word{w(0, 120), w(120, 6)}, []from{{0, 125}, {125, 126}}},
		"to the end":        {[]*word{w(65530, 6)}, []from{{65530, 65536}}},
		"none":              {nil, nil},
	} {
		var got []from
		for _, s := range spans(c.words, mostRead) {
			got = append(got, from{s.first, s.end})
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	holding, input := w(0, 2), w(2, 2)
	input.input = true
	if l := spans([]*word{holding, input}, mostRead); len(l) != 2 {
		t.Errorf("%v: registers of two kinds in one request", l)
	}
}
