// Package registers exposes the words of a PLC in memory as Modbus registers, low
// register first, for tests. It shares nothing with the side that reads them.
package registers

import (
	"context"
	"fmt"
	"io"
	"log"
	"math"
	"net"
	"sync"
	"time"

	"github.com/simonvetter/modbus"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	"github.com/ripwright/ripwright/clients/wherry/internal/standin"
)

// Elements of arrays of edges and blades, and characters of texts.
const (
	points = 90
	blades = 4
	strips = 12
	text   = 32
)

// place of a word.
type place struct {
	contract.Word
	first, count int // in elements or characters
}

func (p place) registers() int {
	if p.Kind == contract.Text {
		return p.count / 2
	}
	return 2 * p.count
}

// Server serves the registers of a PLC.
type Server struct {
	Address string
	// Words are the addresses for a mapping.
	Words map[string]string

	mu     sync.Mutex
	memory [65536]uint16
	places []place
	conn   *standin.Conn
}

// New lays out a PLC's registers. It does not serve them yet.
func New(p *standin.PLC) *Server {
	s := &Server{Words: map[string]string{}, conn: p.Dial(1, 0, 0)}
	s.lay()
	return s
}

// Open serves them at an address until end is called.
func (s *Server) Open(at string) (end func(), err error) {
	s.Address = at
	server, err := modbus.NewServer(&modbus.ServerConfiguration{URL: "tcp://" + at, Timeout: time.Minute, MaxClients: 4, Logger: log.New(io.Discard, "", 0)}, s)
	if err == nil {
		err = server.Start()
	}
	return func() { _ = server.Stop() }, err
}

// Test is the part of *testing.T that is needed, for callers without one.
type Test interface {
	Helper()
	Fatal(args ...any)
	Cleanup(f func())
}

// Serve serves a PLC on a free loopback port until the test ends.
func Serve(t Test, p *standin.PLC) *Server {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s, at := New(p), l.Addr().String()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	end, err := s.Open(at)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(end)
	return s
}

// lay gives every word its registers, numbers first, as a PLC's programmer would.
func (s *Server) lay() {
	at := 1000
	for _, first := range []bool{true, false} {
		for _, w := range contract.Words {
			if (w.Kind == contract.Number) != first || !s.conn.Has(w.Name) {
				continue
			}
			p := place{Word: w, first: at, count: 1}
			kind := "UDINT"
			switch w.Kind {
			case contract.Text:
				p.count, kind = text, "STRING"
			case contract.Numbers:
				p.count = standin.Slots
			case contract.Real:
				kind = "REAL"
			case contract.Reals:
				kind = "REAL"
				switch w.Name {
				case contract.PlanBlades:
					p.count = blades
				case contract.PlanWidths:
					p.count = strips
				case contract.ResultWidths:
					p.count = strips * standin.Slots
				default:
					p.count = points
				}
			case contract.Number:
			}
			s.Words[w.Name] = fmt.Sprintf("%d %s", at, kind)
			if w.Kind != contract.Number && w.Kind != contract.Real {
				s.Words[w.Name] += fmt.Sprintf(" %d", p.count)
			}
			at += p.registers()
			s.places = append(s.places, p)
		}
	}
}

func (s *Server) put(at int, v uint32) {
	s.memory[at], s.memory[at+1] = uint16(v), uint16(v>>16)
}

func (s *Server) get(at int) uint32 { return uint32(s.memory[at]) | uint32(s.memory[at+1])<<16 }

// show copies the PLC's words to the registers.
func (s *Server) show() error {
	var names []string
	for _, p := range s.places {
		names = append(names, p.Name)
	}
	all, err := s.conn.Read(context.Background(), names...)
	if err != nil {
		return err
	}
	for _, p := range s.places {
		v := all[p.Name]
		for i := range p.count {
			switch p.Kind {
			case contract.Number:
				s.put(p.first, v.N)
			case contract.Real:
				s.put(p.first, math.Float32bits(float32(v.R)))
			case contract.Numbers:
				s.put(p.first+2*i, at(v.Ns, i))
			case contract.Reals:
				s.put(p.first+2*i, math.Float32bits(float32(at(v.Rs, i))))
			case contract.Text:
				if i%2 == 0 {
					s.memory[p.first+i/2] = uint16(at([]byte(v.S), i))<<8 | uint16(at([]byte(v.S), i+1))
				}
			}
		}
	}
	return nil
}

func at[T any](l []T, i int) (v T) {
	if i < len(l) {
		v = l[i]
	}
	return v
}

// take copies what is written in a range of registers to the PLC's words.
func (s *Server) take(from, to int) error {
	v := plc.Values{}
	for _, p := range s.places {
		if p.first >= to || p.first+p.registers() <= from {
			continue
		}
		var x plc.Value
		for i := range p.count {
			switch p.Kind {
			case contract.Number:
				x.N = s.get(p.first)
			case contract.Real:
				x.R = float64(math.Float32frombits(s.get(p.first)))
			case contract.Reals:
				x.Rs = append(x.Rs, float64(math.Float32frombits(s.get(p.first+2*i))))
			case contract.Numbers:
				x.Ns = append(x.Ns, s.get(p.first+2*i))
			case contract.Text:
				if c := byte(s.memory[p.first+i/2] >> (8 - 8*(i%2))); c != 0 {
					x.S += string(rune(c))
				}
			}
		}
		v[p.Name] = x
	}
	return s.conn.Write(context.Background(), v)
}

// HandleHoldingRegisters answers a request; each request sees the PLC's current words.
func (s *Server) HandleHoldingRegisters(q *modbus.HoldingRegistersRequest) ([]uint16, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	from, to := int(q.Addr), int(q.Addr)+int(q.Quantity)
	last := s.places[len(s.places)-1]
	if from < s.places[0].first || to > last.first+last.registers() {
		return nil, modbus.ErrIllegalDataAddress
	}
	if err := s.show(); err != nil {
		return nil, err
	}
	if q.IsWrite {
		copy(s.memory[from:to], q.Args)
		return nil, s.take(from, to)
	}
	return append([]uint16(nil), s.memory[from:to]...), nil
}

// HandleCoils refuses the request.
func (s *Server) HandleCoils(*modbus.CoilsRequest) ([]bool, error) {
	return nil, modbus.ErrIllegalFunction
}

// HandleDiscreteInputs refuses the request.
func (s *Server) HandleDiscreteInputs(*modbus.DiscreteInputsRequest) ([]bool, error) {
	return nil, modbus.ErrIllegalFunction
}

// HandleInputRegisters refuses the request.
func (s *Server) HandleInputRegisters(*modbus.InputRegistersRequest) ([]uint16, error) {
	return nil, modbus.ErrIllegalFunction
}
