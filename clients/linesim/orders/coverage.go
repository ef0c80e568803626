package orders

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/planning/lumber"
	"github.com/ripwright/ripwright/solver/planning/replan"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/written"
)

// CoverageConfig describes orders that are quoted and then cut.
type CoverageConfig struct {
	Line     ripwrightv1.RipServiceClient
	Planning ripwrightv1.PlanningServiceClient
	Cuts     int // of each kind
	Seed     uint64
	// Simulations of a quote.
	Simulations int32
	// Every is the number of boards after which values are replanned.
	Every    int32
	Together int // orders quoted and cut at a time
	// Kinds are the kinds to try, by their numbers from 1; empty: all.
	Kinds []int
	// Notes names a file of results of quotes: those in it are not repeated, and new ones
	// are added. Empty: none.
	Notes string
}

// level of the quotes' intervals.
const level = 0.9

// measures are the figures by which quotes are judged.
var measures = []string{"boards", "cost", "yield", "hours"}

// Random streams of a seed, so that a quote and the cut are independent.
const (
	ofOrder = iota + 1
	ofAmounts
	ofLots
	ofSaw
	ofExpected
	ofBoards
)

// draw gives an order of a kind with its saw and its lots.
func (k *kind) draw(seed uint64) (*ripwrightv1.Saw, *ripwrightv1.CutOrder, []lumber.Lot) {
	lots := k.lots(lumber.Random(seed, ofLots))
	items := k.items(lumber.Random(seed, ofOrder))
	amounts(lumber.Random(seed, ofAmounts), items, k.boards, lots)
	// From the same stream as the items: fixed blades are set for their widths.
	return k.saw(lumber.Random(seed, ofOrder)), &ripwrightv1.CutOrder{OrderId: fmt.Sprintf("%s, %d", k.name, seed), Items: items}, lots
}

// boardWork limits the search for a board: few need that much, and results must not
// depend on the load of a machine.
const boardWork = 2_000_000

// mostTime is the time limit of a quote, in ms: its answer must not depend on the load of
// a machine.
const mostTime = 3_600_000

// quoteAndCut quotes an order of a kind and cuts it as documented for its values, on
// boards that the quote did not see.
func quoteAndCut(ctx context.Context, c *CoverageConfig, k *kind, seed uint64) (*kept, error) {
	s, order, lots := k.draw(seed)
	m := &ripwrightv1.QuoteOrderRequest{SawChoice: &ripwrightv1.QuoteOrderRequest_Saw{Saw: s}, Order: order, Lumber: written.Lots(lots), Values: k.values,
		Simulations: &c.Simulations, Level: proto.Float64(level), ReplanEveryBoards: &c.Every, TimeLimitMs: proto.Float64(mostTime)}
	m.Lumber.Seed = int32(seed % (1 << 31))
	if k.cost {
		m.Objective = ripwrightv1.PlanObjective_PLAN_OBJECTIVE_COST
	}
	q, err := c.Planning.QuoteOrder(ctx, m)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", order.GetOrderId(), err)
	}
	if q.GetResult() != ripwrightv1.PlanningResult_PLANNING_RESULT_COMPLETE || q.GetQuote().GetSimulations() != c.Simulations {
		return nil, fmt.Errorf("%s: the quote ended as %v after %d simulations; impossible items: %v", order.GetOrderId(), q.GetResult(), q.GetQuote().GetSimulations(), q.GetImpossible())
	}
	shares := make([]float64, len(lots))
	for i, u := range q.GetLots() {
		shares[i] = u.GetBoards()
	}
	options := &ripwrightv1.SolveOptions{Detail: everyItem.GetDetail(), WorkLimit: proto.Float64(boardWork)}
	line := &ripwrightv1.LineSetUp{RunId: order.GetOrderId(), SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: s}, Options: options, Order: valued(order, k.values)}
	if k.values == ripwrightv1.ValueChoice_VALUE_CHOICE_UNSPECIFIED {
		line.ValuePlanning = &ripwrightv1.ValuePlanning{ReplanEveryBoards: &c.Every}
		draw := drawer(lots, shares, lumber.Random(seed, ofExpected))
		for i := range replan.MaxBoards {
			b, _, _ := draw(i)
			line.ValuePlanning.Expected = append(line.ValuePlanning.Expected, b)
		}
	}
	most := most * int(q.GetQuote().GetBoards().GetUpper()+1)
	draw := drawer(lots, shares, lumber.Random(seed, ofBoards))
	var came []*ripwrightv1.Board // an order cut again sees the same ones
	var fees []float64
	o, err := cutInTime(ctx, c.Line, line, func(i int) (*ripwrightv1.Board, float64, bool) {
		if i == len(came) {
			b, fee, _ := draw(i)
			came, fees = append(came, b), append(fees, fee)
		}
		return came[i], fees[i], i < most
	})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", order.GetOrderId(), err)
	}
	a := q.GetQuote()
	return &kept{boards: o.boards, unproven: o.unproven, quoted: []*ripwrightv1.Estimate{a.GetBoards(), a.GetCost(), a.GetYieldRatio(), a.GetSawHours()},
		cut: []float64{float64(o.boards), o.fee, o.strip / o.face, o.hours}}, nil
}

// valued gives an order with the values of a choice.
func valued(o *ripwrightv1.CutOrder, v ripwrightv1.ValueChoice) *ripwrightv1.CutOrder {
	o = proto.CloneOf(o)
	if v == ripwrightv1.ValueChoice_VALUE_CHOICE_YIELD {
		for _, it := range o.GetItems() {
			it.Value, it.ValuePer = 10, ripwrightv1.ValuePer_VALUE_PER_AREA
		}
	}
	return o
}

// drawer gives boards of lots in proportion to their shares.
func drawer(lots []lumber.Lot, shares []float64, r *rand.Rand) supply {
	next := drawn(lots, shares, r)
	return func(i int) (*ripwrightv1.Board, float64, bool) {
		b, lot := next()
		return written.Board(fmt.Sprint(i), &b), lumber.BoardFeet(&b) * float64(lots[lot].Price) / 1e6, true
	}
}

// drawn gives them as the solver has them, each with the index of its lot.
func drawn(lots []lumber.Lot, shares []float64, r *rand.Rand) func() (wood.Board, int) {
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	return func() (wood.Board, int) {
		at, lot := r.Float64()*sum, 0
		for ; lot < len(lots)-1 && at >= shares[lot]; lot++ {
			at -= shares[lot]
		}
		return lots[lot].From.Draw(r), lot
	}
}

// luck computes kept.luck. An order's end depends on the boards that came and on none
// that is still to come, so by Wald's identity its mean over all possible cuts is 0. With
// several lots it is not known: their shares are the quote's.
func (k *kind) luck(seed uint64, of *kept) float64 {
	_, _, lots := k.draw(seed)
	if len(lots) > 1 {
		return 0
	}
	draw, mean, face := drawn(lots, []float64{1}, lumber.Random(seed, ofBoards)), lots[0].From.MeanFace(), 0.0
	for range of.boards {
		b, _ := draw()
		face += b.Face().SquareMetres()
	}
	return (face/mean - float64(of.boards)) / of.quoted[0].GetMean()
}

// Coverage quotes and cuts orders of every kind, and prints for each kind how many cuts
// lay in the quote's interval. holds says that as many did as the level requires.
func Coverage(ctx context.Context, c CoverageConfig, out io.Writer) (holds bool, err error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	tried := slices.Clone(c.Kinds)
	for _, n := range tried {
		if n < 1 || n > len(kinds) {
			return false, fmt.Errorf("kind %d does not exist; kinds are 1 to %d", n, len(kinds))
		}
	}
	if len(tried) == 0 {
		for n := range kinds {
			tried = append(tried, n+1)
		}
	}
	known, err := openNotes(c.Notes)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, known.close()) }()
	results := inTurns(len(tried)*c.Cuts, c.Together, func(i int) (*kept, error) {
		// Every cut has a seed of its own, or the boards of two would be alike.
		number := tried[i/c.Cuts]
		seed := (c.Seed+uint64(i%c.Cuts))*uint64(len(kinds)) + uint64(number)
		k, err := known.of(trialled{Kind: number, Seed: seed, Simulations: c.Simulations, Every: c.Every}, func() (*kept, error) {
			return quoteAndCut(ctx, &c, &kinds[number-1], seed)
		})
		if err == nil {
			k.luck = kinds[number-1].luck(seed, k)
		}
		return k, err
	})
	t := covered{out: out}
	t.head()
	for i := range tried {
		var row []*kept
		for j := range c.Cuts {
			r := <-results[i*c.Cuts+j]
			if r.err != nil {
				return false, r.err
			}
			row = append(row, r.of)
		}
		t.row(tried[i], row)
	}
	return t.end(), nil
}
