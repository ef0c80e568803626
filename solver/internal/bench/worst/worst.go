// Package worst draws the hardest requests that the published limits allow: the most
// stations, defects, items, lengths, blades, stops and angles, alone and together. Limits
// of time and memory are measured on them.
package worst

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/paced"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

// Case is one such request.
type Case struct {
	Problem   rip.Problem
	RunnersUp int
	Terms     paced.Terms // Price 0: none
	// Check says that the setting Fence and Blades is to be checked, instead of a search.
	Check       bool
	Skew, Fence unit.Length
	Blades      []unit.Length
}

// Solve answers the case. The plan is nil if the saw cannot take it.
func (c *Case) Solve(o rip.Options) (*rip.Result, error) {
	if c.Check {
		checked, err := rip.Check(&c.Problem, c.Skew, c.Fence, c.Blades, o)
		if err != nil {
			return nil, err
		}
		return &rip.Result{Best: checked.Plan, EndedBy: checked.EndedBy, Memory: checked.Memory}, nil
	}
	o.RunnersUp = c.RunnersUp
	return paced.Solve(&c.Problem, c.Terms, o)
}

// String says briefly what is large about it.
func (c *Case) String() string {
	p, moving, cuts := &c.Problem, 0, 0
	for i := range p.Saw.Blades {
		if p.Saw.Blades[i].Moving {
			moving++
		}
	}
	for i := range p.Items {
		cuts += len(p.Items[i].Cuts)
	}
	s := fmt.Sprintf("%d stations, %d defects, %d items, %d lengths, %d blades of which %d move, step %g, skew %g, %d runners-up",
		len(p.Board.Stations), len(p.Board.Defects), len(p.Items), cuts, len(p.Saw.Blades), moving, p.Saw.Step.MM(), p.Saw.Skew.MM(), c.RunnersUp)
	if c.Terms.Price > 0 {
		s += ", priced"
	}
	if c.Check {
		s += ", checked"
	}
	return s
}

// Draw gives the case of a seed. It is valid, except that lengths may combine in too many
// ways.
func Draw(seed uint64) *Case {
	for try := uint64(0); ; try++ {
		r := rand.New(rand.NewPCG(seed, try))
		c := draw(r)
		if len(c.Problem.Faults()) == 0 {
			return c
		}
	}
}

const mm = float64(unit.Millimetre)

func length(v float64) unit.Length { return unit.Length(math.Round(v * mm)) }

// upTo draws a size: often the greatest, otherwise any, uniformly by its logarithm.
func upTo(r *rand.Rand, most int) int {
	if r.IntN(2) == 0 {
		return most
	}
	return int(math.Exp(r.Float64() * math.Log(float64(most)+0.5)))
}

func draw(r *rand.Rand) *Case {
	c := &Case{}
	p := &c.Problem
	drawBoard(r, &p.Board)
	drawSaw(r, p)
	drawItems(r, p)
	if r.IntN(3) == 0 {
		c.RunnersUp = upTo(r, 20)
	}
	switch r.IntN(8) {
	case 0:
		c.Terms = paced.Terms{Price: 1 + r.Int64N(100_000_000_000), Pace: run.Pace{Feed: 40e9, Positioning: 1 + r.Int64N(300e6), Handling: time.Second}}
	case 1:
		c.Check = true
		s := &p.Saw
		c.Skew = s.StepDown(unit.Length(r.Int64N(int64(s.Skew) + 1)))
		c.Fence = s.StepUp(s.Fence.Min)
		for i := range s.Blades {
			at := s.Blades[i].At
			if b := &s.Blades[i]; b.Moving {
				at = s.StepUp(b.Travel.Min + unit.Length(r.Int64N(int64(b.Travel.Max-b.Travel.Min)+1)))
			}
			c.Blades = append(c.Blades, at)
		}
	}
	return c
}

func drawBoard(r *rand.Rand, b *wood.Board) {
	b.Length = length(float64(upTo(r, 20_000)))
	width := float64(100 + upTo(r, 1800))
	b.StraightNear = r.IntN(6) == 0
	rough := []float64{0, 0.5, 5, 30, width / 3, width / 2.01}[r.IntN(6)]
	n := min(upTo(r, wood.MaxStations), int(b.Length/1000))
	for i := range n {
		s := wood.Station{X: b.Length / unit.Length(n) * unit.Length(i)}
		near, far := rough*r.Float64(), width-rough*r.Float64()
		if b.StraightNear {
			near = 0
		}
		s.Near, s.Far = length(near), length(far)
		b.Stations = append(b.Stations, s)
	}
	if r.IntN(2) == 0 {
		for range upTo(r, wood.MaxDefects) {
			x, y := r.Float64()*b.Length.MM(), r.Float64()*width
			long := 0.1 + r.Float64()*[]float64{2, 30, 2000}[r.IntN(3)]
			high := 0.1 + r.Float64()*[]float64{2, 30, 300}[r.IntN(3)]
			d := wood.Defect{FromX: length(x), ToX: min(length(x+long), b.Length), FromY: length(y), ToY: min(length(y+high), wood.MaxAcross),
				Kind: fmt.Sprintf("k%d", r.IntN(40))}
			if d.FromX < d.ToX && d.FromY < d.ToY {
				b.Defects = append(b.Defects, d)
			}
		}
	}
}

func drawSaw(r *rand.Rand, p *rip.Problem) {
	s := &p.Saw
	s.Kerf = length([]float64{0, 0.01, 3.2, 4, 8}[r.IntN(5)])
	s.Step = length([]float64{0.01, 0.02, 0.05, 0.07, 0.1, 0.5, 1, 10}[r.IntN(8)])
	s.LeastStrip = length([]float64{1, 5, 30}[r.IntN(3)])
	s.Gap = s.LeastStrip + length(float64(r.IntN(2)*r.IntN(20)))
	s.Trim = length([]float64{0, 3, 10}[r.IntN(3)])
	s.Fence = travel(r, []float64{0, 1, 100, 5000}[r.IntN(4)])
	if !p.Board.StraightNear && r.IntN(3) == 0 {
		s.Skew = min(s.Step*unit.Length(upTo(r, saw.MaxSkews)), saw.MaxSkew)
	}
	if r.IntN(6) == 0 {
		s.Rerip = saw.Rerip{Width: length(float64(1 + r.IntN(100))), Value: 1 + r.Int64N(20_000_000)}
	}
	n := upTo(r, saw.MaxBlades)
	mixture := []float64{0, 0.2, 0.5, 0.9, 1, 1}[r.IntN(6)]
	at := -float64(r.IntN(50))
	for range n {
		if r.Float64() < mixture {
			s.Blades = append(s.Blades, saw.Blade{Moving: true, Travel: travel(r, []float64{50, 700, 2000, 5000}[r.IntN(4)])})
		} else {
			at += s.Kerf.MM() + s.Gap.MM() + []float64{1, 20, 100}[r.IntN(3)]*r.Float64()
			s.Blades = append(s.Blades, saw.Blade{At: length(at)})
		}
	}
}

// travel is as wide as that, or twice as wide about 0.
func travel(r *rand.Rand, wide float64) saw.Travel {
	t := saw.Travel{Max: length(wide)}
	if r.IntN(2) == 0 {
		t.Min = -t.Max
	}
	t.Current = t.Min + unit.Length(r.Int64N(int64(t.Max-t.Min)+1))
	return t
}

func drawItems(r *rand.Rand, p *rip.Problem) {
	n := upTo(r, order.MaxItems)
	ranges := []float64{0, 0.1, 0.5, 1}[r.IntN(4)]
	capped := []float64{0, 0.3, 1}[r.IntN(3)]
	crosscut := []float64{0, 0, 0.2, 1}[r.IntN(4)]
	alike := r.IntN(3) == 0 // nearly the same worth by area
	kinds := r.IntN(2) * r.IntN(order.MaxAccepted+1)
	for i := range n {
		low := p.Saw.LeastStrip.MM() + r.Float64()*[]float64{2, 100, 500}[r.IntN(3)]
		it := order.Item{ID: fmt.Sprint(i), Min: length(low), Value: 1 + r.Int64N(30_000_000), Basis: order.Basis(r.IntN(8) % order.Bases)}
		if alike {
			it.Value, it.Basis = 10_000_000+r.Int64N(3), order.PerArea
		}
		it.Max = it.Min
		if r.Float64() < ranges {
			it.Random, it.Max = true, min(it.Min+length(r.Float64()*[]float64{5, 100, 1500}[r.IntN(3)]), order.MaxWidth)
		} else if r.IntN(3) == 0 {
			it.Tolerance = length(r.Float64() * 3)
		}
		if r.IntN(3) == 0 {
			it.LeastLength = unit.Length(r.Int64N(int64(p.Board.Length)))
		}
		for k := range kinds {
			it.Accepts = append(it.Accepts, fmt.Sprintf("k%d", (i+k*(1+i%3))%40))
		}
		if r.Float64() < crosscut {
			drawCuts(r, &it)
		}
		if r.Float64() < capped {
			drawCap(r, p, &it)
		}
		p.Items = append(p.Items, it)
	}
}

func drawCuts(r *rand.Rand, it *order.Item) {
	it.Value = 0
	it.CutKerf, it.EndTrim = length([]float64{0, 3, 3.2}[r.IntN(3)]), length([]float64{0, 10, 300}[r.IntN(3)])
	step := []float64{50, 10, 1, 0.1}[r.IntN(4)]
	for range upTo(r, order.MaxCuts) {
		c := order.Cut{Length: length(step * math.Ceil((20+r.Float64()*[]float64{200, 3000}[r.IntN(2)])/step)), Value: 1 + r.Int64N(3_000_000)}
		if c.Limited = r.IntN(2) == 0; c.Limited {
			c.Required = 1 + r.Int64N(50)
		}
		same := false
		for i := range it.Cuts {
			same = same || it.Cuts[i].Length == c.Length
		}
		if !same {
			it.Cuts = append(it.Cuts, c)
		}
	}
}

func drawCap(r *rand.Rand, p *rip.Problem, it *order.Item) {
	strips := 0.3 + 4*r.Float64()
	switch {
	case it.Random:
		it.Measure, it.Required = order.ByArea, int64(strips*it.Min.MM()*p.Board.Length.MM()*1e6)
	case len(it.Cuts) == 0 && r.IntN(3) == 0:
		it.Measure, it.Required = order.ByPieces, 1+r.Int64N(6)
		if r.IntN(2) == 0 {
			it.PieceLength = length(20 + r.Float64()*2000)
		}
	default:
		it.Measure, it.Required = order.ByLength, int64(strips*p.Board.Length.MM()*1e3)
	}
}
