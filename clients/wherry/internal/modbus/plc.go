// Package modbus reads and writes a PLC's words by Modbus/TCP (MODBUS Application Protocol
// 1.1b3).
//
// One request reads at most 125 registers. If more are needed, the PLC's numbers are read
// before and after, and the words in between count only if none has changed: while its
// number stands, the PLC holds a board's words.
package modbus

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"slices"
	"time"

	"github.com/simonvetter/modbus"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// Most registers of one request (MODBUS Application Protocol 1.1b3, 6.3 and 6.12).
const (
	mostRead  = 125
	mostWrite = 123
)

// Config of a connection.
type Config struct {
	Address string // host:port
	UnitID  uint8
	Order   string // byte order of words without one; one of Orders
	// Words are addresses by the contract's names.
	Words map[string]string
	Unit  float64 // mm in the PLC's unit of length
	Slots int     // of the ring
	// Timeout of each request.
	Timeout time.Duration
	// Unsecured allows a connection that is neither signed nor encrypted, as Modbus/TCP
	// is.
	Unsecured bool
}

// PLC is a connection to one.
type PLC struct {
	client *modbus.ModbusClient
	words  map[string]*word
	order  []*word // by register
}

// ErrUnsecured says that an unsecured connection was not allowed.
var ErrUnsecured = errors.New("Modbus/TCP is neither signed nor encrypted; allow it with --without-security")

// Dial connects.
func Dial(ctx context.Context, c Config) (*PLC, error) {
	if !c.Unsecured {
		return nil, ErrUnsecured
	}
	l, faults := parsed(c.Words, c.Order, c.Slots, c.Unit)
	if len(faults) > 0 {
		return nil, fmt.Errorf("words.%s: %s", faults[0].Word, faults[0].Says)
	}
	p := &PLC{words: map[string]*word{}, order: l}
	slices.SortStableFunc(p.order, byRegister)
	for _, w := range l {
		p.words[w.Name] = w
	}
	var err error
	p.client, err = modbus.NewClient(&modbus.ClientConfiguration{URL: "tcp://" + c.Address, Timeout: c.Timeout, Logger: log.New(io.Discard, "", 0)})
	if err == nil {
		err = p.client.SetUnitId(c.UnitID)
	}
	if err != nil {
		return nil, err
	}
	// The library gives a connection five seconds, whatever the context says.
	opened := make(chan error, 1)
	go func() { opened <- p.client.Open() }()
	select {
	case err = <-opened:
	case <-ctx.Done():
		if <-opened == nil {
			_ = p.client.Close()
		}
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, errors.Join(plc.ErrGone, err)
	}
	return p, nil
}

// Has reports whether the mapping has a word.
func (p *PLC) Has(name string) bool { return p.words[name] != nil }

// Entries gives how many entries an array has.
func (p *PLC) Entries(name string) int {
	if w := p.words[name]; w != nil && w.array {
		return w.count
	}
	return 0
}

// Close ends the connection.
func (p *PLC) Close() error { return p.client.Close() }

// numbers are the words that show whether other words have changed.
var numbers = []string{contract.Boot, contract.ScanNumber, contract.Results}

// attempts to read words that change in the meantime.
const attempts = 5

// errChanging says that the words changed at every attempt.
var errChanging = errors.New("the PLC's words change while they are read")

// Read reads words. If that takes several requests, the numbers among them are read again
// after the others.
func (p *PLC) Read(ctx context.Context, names ...string) (plc.Values, error) {
	for n := range names {
		if p.words[names[n]] == nil {
			return nil, fmt.Errorf("the mapping has no word %s", names[n])
		}
	}
	all := p.named(names)
	once := spans(all, mostRead)
	if len(once) <= 1 {
		b, err := p.registers(ctx, once)
		if err != nil {
			return nil, err
		}
		return values(all, b)
	}
	guards := p.named(slices.DeleteFunc(slices.Clone(numbers), func(n string) bool { return !slices.Contains(names, n) }))
	rest := slices.DeleteFunc(slices.Clone(all), func(w *word) bool { return slices.Contains(guards, w) })
	for range attempts {
		before, err := p.registers(ctx, spans(guards, mostRead))
		if err != nil {
			return nil, err
		}
		b, err := p.registers(ctx, spans(rest, mostRead))
		if err != nil {
			return nil, err
		}
		after, err := p.registers(ctx, spans(guards, mostRead))
		if err != nil {
			return nil, err
		}
		same := true
		for _, g := range guards {
			same = same && string(before[g]) == string(after[g])
			b[g] = after[g]
		}
		if same {
			return values(all, b)
		}
	}
	return nil, errChanging
}

// named gives words in the order of their registers.
func (p *PLC) named(names []string) (l []*word) {
	for _, w := range p.order {
		if slices.Contains(names, w.Name) {
			l = append(l, w)
		}
	}
	return l
}

func values(words []*word, b map[*word][]byte) (plc.Values, error) {
	v := plc.Values{}
	for _, w := range words {
		x, err := w.value(b[w])
		if err != nil {
			return nil, err
		}
		v[w.Name] = x
	}
	return v, nil
}

// registers reads spans and gives their words' bytes.
func (p *PLC) registers(ctx context.Context, l []span) (map[*word][]byte, error) {
	b := map[*word][]byte{}
	for _, s := range l {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		kind := modbus.HOLDING_REGISTER
		if s.input {
			kind = modbus.INPUT_REGISTER
		}
		got, err := p.client.ReadRawBytes(uint16(s.first), uint16(2*(s.end-s.first)), kind)
		if err != nil {
			return nil, failed(s, err)
		}
		for _, w := range s.words {
			from, to := max(w.first, s.first), min(w.end(), s.end)
			b[w] = append(b[w], got[2*(from-s.first):2*(to-s.first)]...)
		}
	}
	return b, nil
}

// failed distinguishes a PLC that refuses from one that does not answer.
func failed(s span, err error) error {
	for _, e := range []error{modbus.ErrIllegalFunction, modbus.ErrIllegalDataAddress, modbus.ErrIllegalDataValue} {
		if errors.Is(err, e) {
			return &plc.Quality{Word: s.words[0].Name, Status: fmt.Sprintf("lies in registers %d to %d, which the PLC refuses: %v", s.first, s.end-1, err)}
		}
	}
	return errors.Join(plc.ErrGone, err)
}

// Write writes words, adjacent ones in one request.
func (p *PLC) Write(ctx context.Context, v plc.Values) error {
	b := map[*word][]byte{}
	var l []*word
	for _, w := range p.order {
		x, ok := v[w.Name]
		if !ok {
			continue
		}
		var err error
		if b[w], err = w.bytes(x); err != nil {
			return fmt.Errorf("%s: %w", w.Name, err)
		}
		l = append(l, w)
	}
	if len(l) != len(v) {
		return fmt.Errorf("the mapping lacks some of %v", v)
	}
	for _, s := range spans(l, mostWrite) {
		if err := ctx.Err(); err != nil {
			return err
		}
		var all []byte
		for _, w := range s.words {
			from, to := max(w.first, s.first), min(w.end(), s.end)
			all = append(all, b[w][2*(from-w.first):2*(to-w.first)]...)
		}
		if err := p.client.WriteRawBytes(uint16(s.first), all); err != nil {
			return failed(s, err)
		}
	}
	return nil
}

// Check reads each word. It does not test writing, since that would change the word.
func (p *PLC) Check(ctx context.Context) (l []plc.Finding, err error) {
	for _, k := range contract.Words {
		w := p.words[k.Name]
		if w == nil {
			if !k.Optional {
				l = append(l, plc.Finding{Word: k.Name, Says: "is not in the mapping: " + k.Says})
			}
			continue
		}
		b, err := p.registers(ctx, spans([]*word{w}, mostRead))
		if err == nil {
			_, err = w.value(b[w])
		}
		var q *plc.Quality
		switch {
		case errors.As(err, &q):
			l = append(l, plc.Finding{Word: k.Name, Says: q.Status})
		case err != nil:
			return nil, fmt.Errorf("%s: %w", k.Name, err)
		}
	}
	return l, nil
}
