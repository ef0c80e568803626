package modbus

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
)

// Fault of a word in a mapping.
type Fault struct {
	Word string
	Says string
}

// arbor is the length of an arbor's fingerprint in characters.
const arbor = 24

// ownID is the greatest length of a board ID made of the board's numbers.
const ownID = len("4294967295-4294967295")

// parsed reads the addresses of a mapping, and reports errors.
func parsed(addresses map[string]string, order string, slots int, unit float64) (l []*word, faults []Fault) {
	all := map[string]*word{}
	wrong := func(name, says string, args ...any) { faults = append(faults, Fault{name, fmt.Sprintf(says, args...)}) }
	for _, k := range contract.Words {
		text, ok := addresses[k.Name]
		if !ok {
			continue
		}
		a, err := parse(text, order)
		w := &word{Word: k, address: a, unit: 1}
		if k.Length {
			w.unit = unit
		}
		if err == nil {
			err = w.fits()
		}
		if err != nil {
			wrong(k.Name, "%v", err)
			continue
		}
		if says := k.Wrong(w.count, slots); w.array && says != "" {
			wrong(k.Name, "%s", says)
		}
		l, all[k.Name] = append(l, w), w
	}
	if w := all[contract.PlanArbor]; w != nil && w.count < arbor {
		wrong(w.Name, "has %d characters; a fingerprint has %d", w.count, arbor)
	}
	if w := all[contract.PlanBoardID]; w != nil {
		most := ownID
		if b := all[contract.BoardID]; b != nil {
			most = max(most, b.count)
		}
		if w.count < most {
			wrong(w.Name, "has %d characters; a board's name can have %d", w.count, most)
		}
	}
	if n, f := all[contract.Near], all[contract.Far]; n != nil && f != nil && n.count != f.count {
		wrong(f.Name, "has %d elements; near has %d", f.count, n.count)
	}
	sorted := slices.Clone(l)
	slices.SortStableFunc(sorted, byRegister)
	for i, w := range sorted {
		if i > 0 && sorted[i-1].input == w.input && sorted[i-1].end() > w.first {
			wrong(w.Name, "begins at register %d, which %s also has", w.first, sorted[i-1].Name)
		}
	}
	return l, faults
}

func byRegister(a, b *word) int {
	if a.input != b.input {
		return cmp.Compare(map[bool]int{true: 1}[a.input], map[bool]int{true: 1}[b.input])
	}
	return cmp.Compare(a.first, b.first)
}

// Faults reports errors in the addresses of a mapping.
func Faults(addresses map[string]string, order string, slots int) []Fault {
	_, faults := parsed(addresses, order, slots, 1)
	return faults
}
