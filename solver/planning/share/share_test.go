package share

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
)

// drawn gives amounts of an order for some lines, small and as large as allowed.
func drawn(r *rand.Rand) []Amount {
	lines, out := 1+r.IntN(6), make([]Amount, 1+r.IntN(8))
	weights := make([]int64, lines)
	for l := range weights {
		weights[l] = r.Int64N([]int64{2, 10, 1000, MaxWeight}[r.IntN(4)])
	}
	weights[r.IntN(lines)]++
	for k := range out {
		most := []int64{1, 5, 100, 1e9, 1e18}[r.IntN(5)]
		a := Amount{Open: r.Int64N(most + 1), Unit: 1 + r.Int64N([]int64{1, 7, 4e6}[r.IntN(3)]), Size: r.Float64(), Weights: weights}
		for range weights {
			reserved := int64(0)
			if r.IntN(3) == 0 {
				reserved = r.Int64N(a.Open/2 + 3)
			}
			a.Reserved = append(a.Reserved, reserved)
		}
		out[k] = a
	}
	return out
}

// Checks what Split promises for drawn amounts, in separate arithmetic.
func TestSplit(t *testing.T) {
	for seed := range uint64(20_000) {
		amounts := drawn(rand.New(rand.NewPCG(seed, 1)))
		got := Split(amounts)
		for k, a := range amounts {
			open, reserved, dealt := big.NewInt(a.Open), new(big.Int), new(big.Int)
			for l, share := range got[k] {
				reserved.Add(reserved, big.NewInt(a.Reserved[l]))
				dealt.Add(dealt, big.NewInt(share))
				if share < a.Reserved[l] || share < 0 {
					t.Fatalf("seed %d, amount %d: line %d gets %d and has reserved %d", seed, k, l, share, a.Reserved[l])
				}
				if a.Weights[l] == 0 && share != a.Reserved[l] {
					t.Fatalf("seed %d, amount %d: line %d stands and gets %d beside %d reserved", seed, k, l, share, a.Reserved[l])
				}
				for m := range l {
					if a.Weights[m] == a.Weights[l] && a.Reserved[m] == a.Reserved[l] && max(share-got[k][m], got[k][m]-share) > a.Unit {
						t.Fatalf("seed %d, amount %d: equal lines get %d and %d, units are of %d", seed, k, got[k][m], share, a.Unit)
					}
				}
			}
			if want := open; reserved.Cmp(open) > 0 {
				want = reserved
				if dealt.Cmp(want) != 0 {
					t.Fatalf("seed %d, amount %d: %v are reserved and %v dealt out", seed, k, want, dealt)
				}
			} else if dealt.Cmp(want) != 0 {
				t.Fatalf("seed %d, amount %d: %v are open and %v dealt out", seed, k, want, dealt)
			}
		}
		if again := Split(amounts); !slices.EqualFunc(got, again, slices.Equal) {
			t.Fatalf("seed %d: the second time it is %v, the first time it was %v", seed, again, got)
		}
	}
}

// Shares of lines that have reserved nothing are within one unit of their quotas: the
// quota rule that the method of the largest remainder satisfies (Balinski and Young, Fair
// Representation, 1982; from memory).
func TestQuota(t *testing.T) {
	for seed := range uint64(5_000) {
		amounts := drawn(rand.New(rand.NewPCG(seed, 2)))
		for k := range amounts {
			clear(amounts[k].Reserved)
		}
		for k, shares := range Split(amounts) {
			a, sum := &amounts[k], new(big.Int)
			for _, w := range a.Weights {
				sum.Add(sum, big.NewInt(w))
			}
			for l, share := range shares {
				quota := new(big.Int).Mul(big.NewInt(a.Open), big.NewInt(a.Weights[l]))
				off := new(big.Int).Sub(new(big.Int).Mul(big.NewInt(share), sum), quota)
				if off.CmpAbs(new(big.Int).Mul(sum, big.NewInt(a.Unit))) >= 0 {
					t.Fatalf("seed %d, amount %d, line %d: %d of %d, more than a unit of %d off its quota", seed, k, l, share, a.Open, a.Unit)
				}
			}
		}
	}
}

// What a killed line had open goes to the others; what it has reserved goes to them only
// once its boards are given up.
func TestKilled(t *testing.T) {
	a := Amount{Open: 900, Unit: 1, Size: 1, Reserved: []int64{0, 40, 0}, Weights: []int64{1, 1, 1}}
	if got := Split([]Amount{a})[0]; !slices.Equal(got, []int64{300, 300, 300}) {
		t.Errorf("three lines get %v", got)
	}
	a.Weights[1] = 0
	if got := Split([]Amount{a})[0]; !slices.Equal(got, []int64{430, 40, 430}) {
		t.Errorf("with one killed they get %v", got)
	}
	a.Reserved[1] = 0
	if got := Split([]Amount{a})[0]; !slices.Equal(got, []int64{450, 0, 450}) {
		t.Errorf("with its boards given up they get %v", got)
	}
}

// The roundings of many amounts do not all favour the same line.
func TestRoundingsEvenOut(t *testing.T) {
	amounts := make([]Amount, 300)
	for k := range amounts {
		amounts[k] = Amount{Open: 100, Unit: 1, Size: 1, Reserved: make([]int64, 3), Weights: []int64{1, 1, 1}}
	}
	sums := make([]float64, 3)
	for _, shares := range Split(amounts) {
		for l, s := range shares {
			sums[l] += float64(s)
		}
	}
	for l, sum := range sums {
		if math.Abs(sum-10_000) > 1 {
			t.Errorf("line %d gets %g in all, %v", l, sum, sums)
		}
	}
}
