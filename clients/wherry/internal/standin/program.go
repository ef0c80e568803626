// Package standin is a PLC in memory with its own program: the other side of the
// hand-over, as in the guide, for tests.
package standin

import (
	"fmt"
	"math/rand/v2"
	"sync"
	"time"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// Slots of the ring.
const Slots = 16

// Scan is a board in front of the saw.
type Scan struct {
	Length    float64
	At        []float64
	Near, Far []float64
}

// Cut is what the PLC did with a board.
type Cut struct {
	handover.Board
	Outcome contract.Outcome
	Plan    uint32 // 0: no plan was accepted
	Fence   float64
	Blades  []float64
	Widths  []float64 // from the plan
}

// PLC has the words and runs the program.
type PLC struct {
	mu    sync.Mutex
	words plc.Values
	rng   *rand.Rand
	// Scans gives the next board; false: there is none.
	Scans func() (Scan, bool)
	// Outcome gives the outcome of a board whose plan was accepted; nil: it is cut.
	Outcome func(*rand.Rand) contract.Outcome
	Refuse  float64       // frequency of refused plans
	Hold    time.Duration // time that a board waits for its plan
	Cutting time.Duration // from the plan to the result
	// Left is called with every board that left; nil: not called.
	Left func(Cut)
	// Cuts has every board that left, in order; Wrong, plans beside another board's
	// number.
	Cuts  []Cut
	Wrong []string
}

// New makes a PLC whose board numbers start at from.
func New(seed uint64, from uint32) *PLC {
	p := &PLC{rng: rand.New(rand.NewPCG(seed, 1)), words: plc.Values{}}
	for _, w := range contract.Words {
		p.words[w.Name] = plc.Value{}
	}
	ring := make([]uint32, Slots)
	for _, n := range []string{contract.ResultNumber, contract.ResultPlan, contract.ResultOutcome} {
		p.words[n] = plc.Value{Ns: append([]uint32(nil), ring...)}
	}
	p.words[contract.ResultWidths] = plc.Value{Rs: make([]float64, 12*Slots)}
	p.words[contract.Boot] = plc.Value{N: 1}
	p.words[contract.Accepted] = plc.Value{N: from - 1}
	return p
}

func (p *PLC) set(name string, v plc.Value) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.words[name] = v
}

func (p *PLC) get(name string) plc.Value {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.words[name]
}

// Run runs the program until there are no boards left.
func (p *PLC) Run(from uint32) {
	stop := make(chan struct{})
	defer close(stop)
	go func() { // the life counter
		for n := uint32(1); ; n++ {
			select {
			case <-stop:
				return
			case <-time.After(5 * time.Millisecond):
				p.set(contract.Life, plc.Value{N: n})
			}
		}
	}()
	for n := from; ; n++ {
		if n == 0 {
			continue
		}
		s, more := p.Scans()
		if !more {
			return
		}
		p.board(n, s)
	}
}

// board shows a board, waits for its plan, and writes its outcome.
func (p *PLC) board(n uint32, s Scan) {
	id := fmt.Sprintf("board %d", n)
	p.set(contract.BoardID, plc.Value{S: id})
	p.set(contract.BoardLength, plc.Value{R: s.Length})
	p.set(contract.Points, plc.Value{N: uint32(len(s.At))})
	p.set(contract.Positions, plc.Value{Rs: s.At})
	p.set(contract.Near, plc.Value{Rs: s.Near})
	p.set(contract.Far, plc.Value{Rs: s.Far})
	p.set(contract.ScanNumber, plc.Value{N: n})
	c := Cut{Board: handover.Board{Boot: p.get(contract.Boot).N, Number: n}, Outcome: contract.NotCut}
	told := false
	for end := time.Now().Add(p.Hold); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if p.get(contract.PlanNumber).N == n {
			told = true
			p.accept(&c, id)
			break
		}
		if p.get(contract.Declined).N == n {
			break
		}
	}
	p.mu.Lock()
	p.Cuts = append(p.Cuts, c)
	p.mu.Unlock()
	if told {
		time.Sleep(p.Cutting)
		p.result(c)
	}
	if p.Left != nil {
		p.Left(c)
	}
	if p.rng.IntN(3) == 0 {
		p.set(contract.ScanNumber, plc.Value{})
		time.Sleep(2 * time.Millisecond)
	}
}

// accept copies a plan, checks it, and accepts or refuses it.
func (p *PLC) accept(c *Cut, id string) {
	c.Fence, c.Blades = p.get(contract.PlanFence).R, p.get(contract.PlanBlades).Rs
	strips := p.get(contract.PlanWidths).Rs
	c.Widths = append([]float64(nil), strips[:min(int(p.get(contract.PlanStrips).N), len(strips))]...)
	if got := p.get(contract.PlanBoardID).S; got != id {
		p.mu.Lock()
		p.Wrong = append(p.Wrong, fmt.Sprintf("the plan of %q is shown for %q", got, id))
		p.mu.Unlock()
	}
	if p.rng.Float64() < p.Refuse {
		p.set(contract.PLCReason, plc.Value{N: uint32(1 + p.rng.IntN(8))})
		p.set(contract.PLCRefused, plc.Value{N: c.Number})
		return
	}
	c.Plan, c.Outcome = c.Number, contract.AsPlanned
	p.set(contract.Accepted, plc.Value{N: c.Number})
	if p.Outcome != nil {
		if c.Outcome = p.Outcome(p.rng); c.Outcome != contract.AsPlanned && c.Outcome != contract.AsMeasured {
			c.Plan = 0
		}
	}
}

// result writes a result into the ring, the count last.
func (p *PLC) result(c Cut) {
	p.mu.Lock()
	defer p.mu.Unlock()
	count := p.words[contract.Results].N
	k := count % Slots
	put := func(name string, v uint32) {
		l := append([]uint32(nil), p.words[name].Ns...)
		l[k] = v
		p.words[name] = plc.Value{Ns: l}
	}
	put(contract.ResultNumber, c.Number)
	put(contract.ResultPlan, c.Plan)
	put(contract.ResultOutcome, uint32(c.Outcome))
	w := append([]float64(nil), p.words[contract.ResultWidths].Rs...)
	copy(w[12*k:12*(k+1)], make([]float64, 12))
	copy(w[12*k:12*(k+1)], c.Widths)
	p.words[contract.ResultWidths] = plc.Value{Rs: w}
	p.words[contract.Results] = plc.Value{N: count + 1}
}

// Taken gives the number of results written, and of those that are in the books.
func (p *PLC) Taken() (written, taken uint32) {
	return p.get(contract.Results).N, p.get(contract.ResultsTaken).N
}

// Number numbers the results as if that many had been written before.
func (p *PLC) Number(results uint32) { p.set(contract.Results, plc.Value{N: results}) }
