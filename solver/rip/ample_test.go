package rip

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/solver/wood"
	"github.com/ripwright/ripwright/testdata/brief"
)

const testMM = unit.Millimetre

// ample gives a board with plenty of clear wood on a saw whose blades all move, and items
// of similar value, so that many cuttings are equally good. All is invented.
func ample(r *rand.Rand) *Problem {
	tenths := func(lo, n int) unit.Length { return unit.Length(lo+r.IntN(n)) * testMM / 10 }
	p := &Problem{Board: wood.Board{Length: 2000 * testMM, StraightNear: r.IntN(5) == 0}}
	width := tenths(1200, 1300)
	for i := range 4 {
		near := tenths(0, 30)
		if p.Board.StraightNear {
			near = 0
		}
		p.Board.Stations = append(p.Board.Stations, wood.Station{X: unit.Length(i) * 600 * testMM, Near: near, Far: width - tenths(0, 30)})
	}
	least := p.Board.Stations[0].Near
	for _, st := range p.Board.Stations {
		least = min(least, st.Near)
	}
	for i := range p.Board.Stations {
		p.Board.Stations[i].Near -= least
		p.Board.Stations[i].Far -= least
	}
	p.Saw = saw.Saw{Kerf: 3 * testMM, Step: testMM / 2, Gap: 12 * testMM, LeastStrip: 12 * testMM, Trim: testMM,
		Fence: saw.Travel{Min: tenths(0, 300), Max: tenths(500, 1000), Current: tenths(0, 1500)}}
	narrowest, blades := 16, 4+r.IntN(5)
	if r.IntN(2) == 0 { // more blades than there are strips
		narrowest, blades = 35, 5+r.IntN(3)
	}
	at, gaps := r.IntN(1000), 1+r.IntN(800)
	for range blades {
		at += r.IntN(gaps)
		p.Saw.Blades = append(p.Saw.Blades, saw.Blade{Moving: true,
			Travel: saw.Travel{Max: tenths(3000, 3000), Current: unit.Length(at) * testMM / 10}})
		at += 160
	}
	if r.IntN(3) == 0 { // nothing fits across the middle
		p.Board.Defects = []wood.Defect{{ToX: p.Board.Length, FromY: width * 4 / 10, ToY: width * 6 / 10, Kind: "pith"}}
	}
	piece := r.IntN(3) == 0
	for i := range 3 + r.IntN(5) {
		w := unit.Length(narrowest+r.IntN(30)) * testMM
		it := order.Item{ID: string(rune('a' + i)), Min: w, Max: w, Value: 10_000_000}
		if piece {
			it.Basis, it.Value = order.PerPiece, 1_000_000
		}
		if r.IntN(6) == 0 {
			it.Max, it.Random = w+5*testMM, true
		}
		p.Items = append(p.Items, it)
	}
	return p
}

// websOf gives the webs of the best cuttings of many such boards, fewer under the race
// detector.
func websOf(t *testing.T, boards int, do func(r *rand.Rand, u *settler, w *web)) {
	t.Helper()
	done := 0
	for seed := uint64(0); done < brief.Fewer(boards); seed++ {
		r := rand.New(rand.NewPCG(seed, 1))
		p := ample(r)
		if len(p.Faults()) > 0 {
			continue
		}
		ready, faults := prepare(p, (&Options{}).Budget(), true, nil)
		in := ready.at(0)
		rests, ok := in.orderly()
		if len(faults) > 0 || !ok {
			continue
		}
		done++
		s := newSearch(in, 0, (&Options{}).Budget())
		s.prepare()
		c := s.newCeiling()
		k := len(in.blades)
		c.build(s, k)
		n := s.network(c, fences{in.fenceLo, in.fenceHi})
		for less := int64(k + 1); ; less *= 4 {
			need := max(c.top(k)-less, 0)
			n.grow(need)
			goals := n.goals()
			if len(goals) > 0 && !n.overfull {
				u := n.settling(rests)
				u.pick(&goals[0])
				u.room.reset()
				u.have = false
				do(r, u, u.pack())
			}
			if len(goals) > 0 || need == 0 {
				break
			}
		}
		s.release()
	}
}
