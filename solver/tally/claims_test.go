package tally

import (
	"math/rand/v2"
	"testing"

	"github.com/ripwright/ripwright/solver/unit"
	"github.com/ripwright/ripwright/testdata/brief"
)

// fair is the instrument of the simulated readings.
var fair = Instrument{
	Width:     Error{SD: 500 * unit.Micrometre, Bias: 200 * unit.Micrometre},
	Length:    Error{SD: 3 * unit.Millimetre, Bias: unit.Millimetre},
	Thickness: Error{SD: 200 * unit.Micrometre, Bias: 100 * unit.Micrometre},
}

// readings gives boards as an instrument reads them, with shared errors at the limit of
// their bounds: low in one pack, high in the next.
func readings(r *rand.Rand, in Instrument, boards []Board, sign unit.Length) []Board {
	off := func(e Error) unit.Length { return sign*e.Bias + unit.Length(r.NormFloat64()*float64(e.SD)) }
	out := make([]Board, len(boards))
	for i, b := range boards {
		b.Width += off(in.Width)
		b.Length += off(in.Length)
		if b.Thickness > 0 {
			b.Thickness += off(in.Thickness)
		}
		out[i] = b
	}
	return out
}

// packKinds draw boards of random sizes, and boards that a reading error hits hardest
// because each only just makes the size that it counts for.
var packKinds = map[string]func(*rand.Rand) Board{
	"random widths and lengths": func(r *rand.Rand) Board {
		return Board{Width: in(4, 1) + unit.Length(r.Int64N(int64(in(8, 1)))),
			Length: ft(8, 1) + unit.Length(r.Int64N(int64(ft(8, 1)))), Thickness: in(17, 16), Pieces: 1}
	},
	"whole feet with trim": func(r *rand.Rand) Board {
		return Board{Width: in(4, 1) + unit.Length(r.Int64N(int64(in(8, 1)))),
			Length: ft(8+r.Int64N(9), 1) + unit.Length(r.Int64N(int64(in(3, 1)))), Pieces: 1}
	},
	"just makes the foot": func(r *rand.Rand) Board {
		return Board{Width: in(4, 1) + unit.Length(r.Int64N(int64(in(8, 1)))), Length: ft(8+r.Int64N(9), 1), Pieces: 1}
	},
	"exact halves of surface measure": func(*rand.Rand) Board {
		return Board{Width: in(6, 1), Length: ft(9, 1) + in(1, 1), Pieces: 1}
	},
	"just beyond the half in width": func(r *rand.Rand) Board {
		return Board{Width: in(4+r.Int64N(6), 1) + in(1, 2) + 1, Length: ft(8+r.Int64N(5), 1) + in(2, 1), Pieces: 1}
	},
	"just beyond the half foot": func(*rand.Rand) Board {
		return Board{Width: in(6, 1) + 10*unit.Micrometre, Length: ft(9, 1), Thickness: in(1, 1), Pieces: 1}
	},
}

// On 1,000 correct packs of each kind, tallied by their suppliers without a mistake and
// read with errors of the model, at most 5 % of the verdicts may be false, by any rule.
// Half of the packs are tallied by counts, half by a total to the whole board foot. The
// seeds are fixed.
func TestFalseClaims(t *testing.T) {
	const boards = 40
	tallies := brief.Fewer(1000)
	for name, draw := range packKinds {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var wrong [rules]int
			for seed := range uint64(tallies) {
				r := rand.New(rand.NewPCG(seed, 4))
				truth := make([]Board, boards)
				for i := range truth {
					truth[i] = draw(r)
				}
				p := Pack{Thickness: in(5, 4), Boards: readings(r, fair, truth, 2*unit.Length(seed%2)-1)}
				for _, rule := range Rules() {
					// A supplier's total by the rule, from true sizes.
					feet := Measure(truth, p.Thickness, nil).BoardFeet(rule, p.Thickness)
					if f, _ := feet.Float64(); seed%4 < 2 {
						p.Tally = &Supplied{Form: Total, BoardFeet: int64(f+0.5) * 1_000_000}
					} else {
						p.Tally = &Supplied{Form: Counts, Counts: truth}
					}
					terms := Terms{Rule: rule, Instrument: fair}
					if terms.account(&p).Comparison.Verdict != Agrees {
						wrong[rule]++
					}
				}
			}
			for rule, n := range wrong {
				if 20*n > tallies {
					t.Errorf("rule %d: %d of %d correct packs are claimed to differ", rule, n, tallies)
				}
			}
			t.Logf("false claims by rule, of %d: %v", tallies, wrong)
		})
	}
}

// A model that explained every difference would make no false claim either: packs that
// lack one board in twenty must be found out.
func TestTrueClaims(t *testing.T) {
	const tallies, boards = 200, 120
	var found [rules]int
	for seed := range uint64(tallies) {
		r := rand.New(rand.NewPCG(seed, 5))
		truth := make([]Board, boards)
		for i := range truth {
			truth[i] = packKinds["whole feet with trim"](r)
		}
		p := Pack{Thickness: unit.Inch, Tally: &Supplied{Form: Counts, Counts: truth},
			Boards: readings(r, fair, truth[boards/20:], 1)}
		for _, rule := range Rules() {
			terms := Terms{Rule: rule, Instrument: fair}
			c := terms.account(&p).Comparison
			if c.Verdict == Lacks {
				found[rule]++
			}
			if c.Verdict == Exceeds {
				t.Errorf("seed %d, rule %d: a pack that lacks boards has too many", seed, rule)
			}
		}
	}
	for rule, n := range found {
		if 20*n < 19*tallies {
			t.Errorf("rule %d: only %d of %d packs that lack a twentieth are detected", rule, n, tallies)
		}
	}
	t.Logf("detected by rule, of %d: %v", tallies, found)
}

// With an instrument without error, every difference is claimed, and nothing else.
func TestPerfectInstrument(t *testing.T) {
	boards := []Board{board(in(8, 1), ft(12, 1)), board(in(6, 1), ft(9, 1))}
	for _, c := range []struct {
		feet    int64
		verdict Verdict
	}{{13, Agrees}, {14, Lacks}, {11, Exceeds}} {
		p := Pack{Thickness: unit.Inch, Boards: boards, Tally: &Supplied{Form: Surfaces, Surfaces: []Surface{{c.feet, 1}}}}
		var terms Terms
		if got := terms.account(&p).Comparison.Verdict; got != c.verdict {
			t.Errorf("%d tallied, 13 measured: verdict %d, want %d", c.feet, got, c.verdict)
		}
	}
}
