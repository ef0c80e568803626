// Command gain measures on the demo's lumber the gain from ripping for what the strips
// become: the worth after crosscutting if boards are ripped for clear width only and if
// the plan knows defects and lengths, and the gain from a skew. The knots and the lengths
// are invented.
package main

import (
	"bufio"
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"time"

	"google.golang.org/protobuf/encoding/protojson"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/fleet"
	"github.com/ripwright/ripwright/server/wire"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
)

const mm = unit.Millimetre

func main() {
	if err := run("testdata/demo/"); err != nil {
		fmt.Fprintln(os.Stderr, "gain:", err)
		os.Exit(1)
	}
}

func run(dir string) error {
	boards, err := os.ReadFile(dir + "boards.jsonl")
	if err != nil {
		return err
	}
	text, err := os.ReadFile(dir + "order.json")
	if err != nil {
		return err
	}
	saws, err := os.ReadFile(dir + "saws.json")
	if err != nil {
		return err
	}
	all, err := fleet.Parse("saws.json", saws)
	if err != nil {
		return err
	}
	ask := &ripwrightv1.SolveBoardRequest{Order: &ripwrightv1.CutOrder{}}
	if err := protojson.Unmarshal(text, ask.Order); err != nil {
		return err
	}
	for _, i := range ask.Order.Items {
		i.Required = nil // each board is planned alone
	}
	fmt.Printf("%-24s %28s %28s %9s\n", "worth after crosscutting", "ripped for clear width", "ripped for the pieces", "more")
	for _, name := range all.Names() {
		ask.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: name}
		t, err := each(boards, ask, all, pieces)
		if err != nil {
			return err
		}
		fmt.Printf("%-24s %20.2f (%4.1f %%) %20.2f (%4.1f %%) %7.1f %%   median %v, worst %v\n", name,
			t.plain, 100*t.plainYield/t.face, t.best, 100*t.bestYield/t.face, 100*(t.best/t.plain-1), t.median(), t.worst())
	}
	fmt.Printf("\n%-24s %28s %28s %9s\n", "worth by clear width", "along the fence", "skew up to 6 mm per m", "more")
	for _, name := range all.Names() {
		ask.SawChoice = &ripwrightv1.SolveBoardRequest_SawName{SawName: name}
		t, err := each(boards, ask, all, skew)
		if err != nil {
			return err
		}
		fmt.Printf("%-24s %20.2f (%4.1f %%) %20.2f (%4.1f %%) %7.1f %%   %d of %d boards askew, median %v\n", name,
			t.plain, 100*t.plainYield/t.face, t.best, 100*t.bestYield/t.face, 100*(t.best/t.plain-1), t.askew, len(t.times), t.median())
	}
	return nil
}

// totals over all boards; yields in m2.
type totals struct {
	plain, best, plainYield, bestYield, face float64
	askew                                    int
	times                                    []time.Duration
}

func (t *totals) median() time.Duration {
	slices.Sort(t.times)
	return t.times[len(t.times)/2].Round(10 * time.Microsecond)
}

func (t *totals) worst() time.Duration {
	slices.Sort(t.times)
	return t.times[len(t.times)-1].Round(10 * time.Microsecond)
}

func each(boards []byte, ask *ripwrightv1.SolveBoardRequest, saws wire.Saws, f func(*rip.Problem, *rand.Rand, *totals) error) (*totals, error) {
	var t totals
	lines := bufio.NewScanner(bytes.NewReader(boards))
	lines.Buffer(nil, 1<<20)
	for n := uint64(0); lines.Scan(); n++ {
		ask.Board = &ripwrightv1.Board{}
		if err := protojson.Unmarshal(lines.Bytes(), ask.Board); err != nil {
			return nil, err
		}
		j, err := wire.Solve(ask, saws)
		if err != nil {
			return nil, err
		}
		if err := f(&j.Problem, rand.New(rand.NewPCG(n, 3)), &t); err != nil {
			return nil, fmt.Errorf("board %d: %w", n, err)
		}
	}
	return &t, lines.Err()
}

// pieces rips the board for clear width, scores that setting by what its strips become,
// and then rips it for that.
func pieces(p *rip.Problem, r *rand.Rand, t *totals) error {
	first, err := rip.Solve(p, rip.Options{})
	if err != nil {
		return err
	}
	knot(p, r)
	lengths(p)
	c, err := rip.Check(p, 0, first.Best.Fence, first.Best.Blades, rip.Options{})
	if err != nil {
		return err
	}
	return t.add(p, c.Plan)
}

// skew rips the board along the fence and with a skew.
func skew(p *rip.Problem, _ *rand.Rand, t *totals) error {
	first, err := rip.Solve(p, rip.Options{})
	if err != nil {
		return err
	}
	p.Saw.Skew = 6 * mm
	return t.add(p, first.Best)
}

func (t *totals) add(p *rip.Problem, plain *rip.Plan) error {
	start := time.Now()
	r, err := rip.Solve(p, rip.Options{})
	if err != nil {
		return err
	}
	t.times = append(t.times, time.Since(start))
	if r.Best.Skew != 0 {
		t.askew++
	}
	used := func(a *rip.Account) float64 { return (a.Strip - a.CrosscutLoss).SquareMetres() }
	t.plain, t.best = t.plain+plain.Worth.Money(), t.best+r.Best.Worth.Money()
	t.plainYield, t.bestYield = t.plainYield+used(&plain.Account), t.bestYield+used(&r.Best.Account)
	t.face += r.Best.Account.Face.SquareMetres()
	return nil
}

// knot scatters knots, at most three for each metre of length and half metre of width.
func knot(p *rip.Problem, r *rand.Rand) {
	b := &p.Board
	most := b.Length.MM() / 1000 * b.GreatestWidth().MM() / 500 * 3
	for range r.IntN(int(most) + 2) {
		long, wide := 12+r.Float64()*43, 10+r.Float64()*22
		x, y := r.Float64()*(b.Length.MM()-long), r.Float64()*(b.GreatestWidth().MM()-wide)
		at := func(v float64) unit.Length { l, _ := unit.FromMM(v); return l }
		b.Defects = append(b.Defects, wood.Defect{FromX: at(x), ToX: at(x + long), FromY: at(y), ToY: at(y + wide), Kind: "knot"})
	}
}

// lengths has every fixed width crosscut to six lengths, the long ones at a slightly
// higher value.
func lengths(p *rip.Problem) {
	for i := range p.Items {
		it := &p.Items[i]
		if it.Random {
			continue
		}
		perMetre := it.Value / 1000 * int64(it.Min/mm)
		it.Value, it.LeastLength = 0, 0
		it.CutKerf, it.EndTrim = 4*mm, 15*mm
		for k, l := range []int64{345, 480, 610, 820, 1150, 1830} {
			it.Cuts = append(it.Cuts, order.Cut{Length: unit.Length(l) * mm, Value: perMetre * l / 1000 * int64(94+3*k) / 100})
		}
	}
}
