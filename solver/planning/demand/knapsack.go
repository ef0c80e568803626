package demand

import (
	"math/big"
	"slices"

	"github.com/ripwright/ripwright/solver/rip"
)

// fill solves the knapsack: first with any number of pockets, which is mostly enough,
// then counting them. It reports false if it was stopped.
func (k *sack) fill(o rip.Options) bool {
	if k.solve(1, o) && len(k.chosen) <= k.pockets {
		return true
	}
	return k.steps*k.pockets <= mostSteps && (o.Stop == nil || !o.Stop()) && k.solve(k.pockets, o)
}

// solve counts strips up to a number of pockets; 1: it does not count them.
func (k *sack) solve(pockets int, o rip.Options) bool {
	wide := k.room + 1
	step := 0 // from a number of strips to one less
	if pockets > 1 {
		step = wide
	}
	layers := 1
	if step > 0 {
		layers = pockets + 1
	}
	k.best = slices.Grow(k.best[:0], layers*wide)[:layers*wide]
	clear(k.best)
	var all []piece
	for i := range k.sorts {
		f := &k.sorts[i]
		copies := f.most
		if f.many {
			copies = min(copies, 1)
		}
		for range copies {
			all = append(all, k.add(i, layers, step))
		}
		if o.Stop != nil && o.Stop() {
			return false
		}
	}
	at := layers*wide - 1
	k.worth = new(big.Int).Mul(big.NewInt(k.best[at]), k.per)
	k.chosen = k.chosen[:0]
	for i := len(all) - 1; i >= 0; i-- {
		for f := &k.sorts[all[i].sort]; all[i].taken[at/64]>>(at%64)&1 == 1; {
			k.chosen = append(k.chosen, all[i].sort)
			if at -= f.stops + step; !f.many {
				break
			}
		}
	}
	return true
}

// piece is one strip of a sort, or any number of them if many, with the states of room
// and strips in which it was taken last.
type piece struct {
	sort  int
	taken []uint64
}

// add includes a piece among those that can be chosen. A piece that can be used once must
// not see the states that it has improved, so the room runs downwards; for a piece that
// can be used repeatedly it runs upwards.
func (k *sack) add(i, layers, step int) piece {
	f, wide := &k.sorts[i], k.room+1
	p := piece{i, make([]uint64, (layers*wide+63)/64)}
	try := func(n, c int) {
		at := n*wide + c
		if v := k.best[at-step-f.stops] + f.worth; v > k.best[at] {
			k.best[at] = v
			p.taken[at/64] |= 1 << (at % 64)
		}
	}
	first := min(layers-1, 1) // with no strips there is nothing
	for n := range layers - first {
		if f.many {
			for c := f.stops; c < wide; c++ {
				try(first+n, c)
			}
			continue
		}
		for c := wide - 1; c >= f.stops; c-- {
			try(layers-1-n, c)
		}
	}
	k.work += int64(layers*wide)/64 + 1
	return p
}
