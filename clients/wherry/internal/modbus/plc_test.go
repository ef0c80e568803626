package modbus

import (
	"errors"
	"fmt"
	"io"
	"log"
	"math"
	"net"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/simonvetter/modbus"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// memory is the memory of a Modbus server.
type memory struct {
	at     string
	server *modbus.ModbusServer

	mu       sync.Mutex
	words    [65536]uint16
	there    [65536]bool
	longest  int
	requests int
	before   func(m *memory, n int) // called before each request, with their number so far; the lock is held
}

// serve starts a server with the registers of a mapping, except for missing words.
func serve(t *testing.T, missing map[string]bool) *memory {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	m := &memory{at: l.Addr().String()}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	for name, text := range mapped() {
		a, err := parse(text, "CDAB")
		if err != nil {
			t.Fatal(err)
		}
		for i := a.first; i < a.end() && !missing[name]; i++ {
			m.there[i] = true
		}
	}
	m.start(t)
	return m
}

func (m *memory) start(t *testing.T) {
	t.Helper()
	var err error
	m.server, err = modbus.NewServer(&modbus.ServerConfiguration{URL: "tcp://" + m.at, Timeout: time.Minute, MaxClients: 4, Logger: log.New(io.Discard, "", 0)}, m)
	if err == nil {
		err = m.server.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	server := m.server
	t.Cleanup(func() { _ = server.Stop() })
}

func (m *memory) HandleCoils(*modbus.CoilsRequest) ([]bool, error) {
	return nil, modbus.ErrIllegalFunction
}

func (m *memory) HandleDiscreteInputs(*modbus.DiscreteInputsRequest) ([]bool, error) {
	return nil, modbus.ErrIllegalFunction
}

func (m *memory) HandleInputRegisters(*modbus.InputRegistersRequest) ([]uint16, error) {
	return nil, modbus.ErrIllegalFunction
}

func (m *memory) HandleHoldingRegisters(q *modbus.HoldingRegistersRequest) ([]uint16, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.requests++
	if m.before != nil {
		m.before(m, m.requests)
	}
	from, to := int(q.Addr), int(q.Addr)+int(q.Quantity)
	m.longest = max(m.longest, to-from)
	if slices.Contains(m.there[from:to], false) {
		return nil, modbus.ErrIllegalDataAddress
	}
	if q.IsWrite {
		copy(m.words[from:to], q.Args)
		return nil, nil
	}
	return slices.Clone(m.words[from:to]), nil
}

// put sets a number of 32 bits, low register first; the lock is held.
func (m *memory) put(at int, v uint32) { m.words[at], m.words[at+1] = uint16(v), uint16(v>>16) }

func dial(t *testing.T, m *memory) *PLC {
	t.Helper()
	p, err := Dial(t.Context(), Config{Address: m.at, UnitID: 1, Order: "CDAB", Words: mapped(), Unit: 1, Slots: 16, Timeout: 2 * time.Second, Unsecured: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.Close() })
	return p
}

var board = []string{contract.Boot, contract.ScanNumber, contract.BoardLength, contract.Points, contract.Near, contract.Far}

// show sets a board whose every word contains its number; the lock is held.
func (m *memory) show(n uint32) {
	m.put(30, math.Float32bits(float32(n)))
	m.put(32, 60)
	for i := range 120 {
		m.put(100+2*i, math.Float32bits(float32(n)))
	}
	m.put(4, n)
}

// A board takes several requests. Whenever another one comes between any two of them, all
// that is read belongs to one board, and no request is longer than Modbus allows.
func TestReads(t *testing.T) {
	m := serve(t, nil)
	p := dial(t, m)
	for changes := range 40 {
		m.mu.Lock()
		m.requests, m.before = 0, func(m *memory, n int) {
			if n <= 1+changes%20 && n > changes%20-changes/20 { // one change, or two in succession
				m.show(uint32(n))
			}
		}
		m.show(100)
		m.mu.Unlock()
		v, err := p.Read(t.Context(), board...)
		if err != nil {
			t.Fatal(err)
		}
		n := v[contract.ScanNumber].N
		all := append(append([]float64{v[contract.BoardLength].R}, v[contract.Near].Rs...), v[contract.Far].Rs...)
		if len(all) != 121 {
			t.Fatalf("%d numbers, want 121", len(all))
		}
		for _, r := range all {
			if r != float64(n) {
				t.Fatalf("board %d has a value of board %v; the words changed before request %d", n, r, changes%20+1)
			}
		}
	}
	if m.longest > 125 {
		t.Errorf("a request for %d registers, more than 125", m.longest)
	}
}

// Numbers that keep changing end in an error, and soon.
func TestChanging(t *testing.T) {
	m := serve(t, nil)
	p := dial(t, m)
	m.mu.Lock()
	m.before = func(m *memory, n int) { m.show(uint32(n)) }
	m.mu.Unlock()
	if _, err := p.Read(t.Context(), board...); !errors.Is(err, errChanging) {
		t.Error(err)
	}
	if m.requests > 40 {
		t.Errorf("%d requests before an error, want at most 40", m.requests)
	}
}

// A look is one request if its words are adjacent.
func TestLook(t *testing.T) {
	m := serve(t, nil)
	p := dial(t, m)
	if _, err := p.Read(t.Context(), contract.Boot, contract.Life, contract.ScanNumber, contract.Accepted, contract.PLCRefused); err != nil || m.requests != 1 {
		t.Errorf("%d requests, want 1: %v", m.requests, err)
	}
}

// What is written is stored, and is read back.
func TestWrites(t *testing.T) {
	m := serve(t, nil)
	p := dial(t, m)
	v := plc.Values{contract.PlanArbor: {S: "377406a4aa26dc30ee2c5db9"}, contract.PlanFence: {R: 100.5}, contract.PlanBlades: {Rs: []float64{150, 220, 300, 400}},
		contract.PlanBoardID: {S: "board 7"}, contract.PlanStrips: {N: 2}, contract.PlanWidths: {Rs: []float64{66, 50, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}}}
	if err := p.Write(t.Context(), v); err != nil {
		t.Fatal(err)
	}
	if m.requests != 1 {
		t.Errorf("%d requests for adjacent words, want 1", m.requests)
	}
	var names []string
	for n := range v {
		names = append(names, n)
	}
	got, err := p.Read(t.Context(), names...)
	if err != nil || fmt.Sprint(got) != fmt.Sprint(v) {
		t.Errorf("%v %v", got, err)
	}
	if p.Entries(contract.PlanBlades) != 4 || p.Entries(contract.PlanArbor) != 0 || p.Entries(contract.Thickness) != 0 || p.Has(contract.Thickness) {
		t.Error("entries")
	}
}

// Registers that the PLC lacks are named, by check and by reading.
func TestRefused(t *testing.T) {
	m := serve(t, map[string]bool{contract.Far: true, contract.PlanNumber: true})
	p := dial(t, m)
	l, err := p.Check(t.Context())
	if err != nil || len(l) != 2 || l[0].Word != contract.Far || l[1].Word != contract.PlanNumber || !strings.Contains(l[0].Says, "registers 220 to 339, which the PLC refuses") && !strings.Contains(l[0].Says, "registers 220 to 344, which the PLC refuses") {
		t.Errorf("%+v %v", l, err)
	}
	var q *plc.Quality
	if _, err := p.Read(t.Context(), contract.Far); !errors.As(err, &q) {
		t.Error(err)
	}
}

// A PLC that disconnects is gone, and one that is back answers a new connection.
func TestGone(t *testing.T) {
	m := serve(t, nil)
	p := dial(t, m)
	if err := m.server.Stop(); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Read(t.Context(), contract.Boot); !errors.Is(err, plc.ErrGone) {
		t.Error(err)
	}
	if err := p.Write(t.Context(), plc.Values{contract.PlanNumber: {N: 1}}); !errors.Is(err, plc.ErrGone) {
		t.Error(err)
	}
	if _, err := Dial(t.Context(), Config{Address: m.at, UnitID: 1, Order: "CDAB", Words: mapped(), Unit: 1, Slots: 16, Timeout: time.Second, Unsecured: true}); !errors.Is(err, plc.ErrGone) {
		t.Error(err)
	}
	m.start(t)
	if _, err := dial(t, m).Read(t.Context(), contract.Boot); err != nil {
		t.Error(err)
	}
	if _, err := Dial(t.Context(), Config{Address: m.at}); !errors.Is(err, ErrUnsecured) {
		t.Error(err)
	}
}
