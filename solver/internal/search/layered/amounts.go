package layered

import (
	"cmp"
)

// MostCaps is how many caps labels can keep at once.
const MostCaps = 4

// Amounts is what strips use up of the caps that labels keep: the sum and the largest for
// each. A cap allows all strips but the largest together less than what is open.
type Amounts [MostCaps]struct{ Sum, Largest int64 }

// Plus gives what two sets of strips use up together.
func (a *Amounts) Plus(b *Amounts) (c Amounts) {
	for i := range a {
		c[i].Sum, c[i].Largest = a[i].Sum+b[i].Sum, max(a[i].Largest, b[i].Largest)
	}
	return c
}

// Within reports whether a leaves at least as much of every cap as b, whatever follows.
// What counts in the end is the sum of both sets less the largest of both, which is the
// lesser of: the sum less the largest here, and the sum less the largest there.
func (a *Amounts) Within(b *Amounts) bool {
	for i := range a {
		if a[i].Sum > b[i].Sum || a[i].Sum-a[i].Largest > b[i].Sum-b[i].Largest {
			return false
		}
	}
	return true
}

func compareAmounts(a, b *Amounts) int {
	for i := range a {
		if a[i].Sum != b[i].Sum {
			return cmp.Compare(a[i].Sum, b[i].Sum)
		}
		if a[i].Largest != b[i].Largest {
			return cmp.Compare(b[i].Largest, a[i].Largest)
		}
	}
	return 0
}
