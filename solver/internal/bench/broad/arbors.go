package broad

import (
	"fmt"
	"slices"
)

// Arbor is a kind of saw by its blades, F fixed and M moving, along the arbor.
type Arbor struct {
	Name, Blades string
	// OffStep says that the fixed blades stand between stops.
	OffStep bool
	index   int
}

var named = []string{"FFFFFF", "MFFM", "FMFM", "FMFMFM", "FFMM", "MFMM", "FMMM", "FMMMM", "MMFMM", "MMFFMM", "MMMFMMM",
	"MMMM", "MMMMM", "MMMMMMM"}

// drawn is how many arbors are drawn from the seed.
const drawn = 10

// Arbors lists those on which the search has been measured and ten drawn from the seed: 2
// to 9 blades in any mixture, every other one with its fixed blades between stops.
func Arbors(seed uint64) []Arbor {
	var all []Arbor
	for i, b := range named {
		all = append(all, Arbor{Name: b, Blades: b, index: i})
	}
	r := source(seed, -1, 0)
	for i := range drawn {
		a := Arbor{OffStep: i%2 == 1, index: len(all)}
		for range 2 + r.IntN(8) {
			a.Blades += string("FM"[r.IntN(2)])
		}
		a.Name = fmt.Sprintf("%d:%s", i, a.Blades)
		if a.OffStep {
			a.Name += "/off"
		}
		all = append(all, a)
	}
	return all
}

// Find gives a seed's arbor by its name, and whether there is one.
func Find(seed uint64, name string) (Arbor, bool) {
	all := Arbors(seed)
	i := slices.IndexFunc(all, func(a Arbor) bool { return a.Name == name })
	if i < 0 {
		return Arbor{}, false
	}
	return all[i], true
}
