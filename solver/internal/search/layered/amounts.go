package layered

import (
	"cmp"
)

// MostCaps is how many caps labels can heed at once.
const MostCaps = 4

// Amounts is what strips use up of the caps that labels heed: of each the sum and the
// largest. A cap allows all strips but the largest together less than what is open.
type Amounts [MostCaps]struct{ Sum, Largest int64 }

// Plus gives what two sets of strips use up together.
func (a *Amounts) Plus(b *Amounts) (c Amounts) {
	for i := range a {
		c[i].Sum, c[i].Largest = a[i].Sum+b[i].Sum, max(a[i].Largest, b[i].Largest)
	}
	return c
}

// Within reports whether a leaves of every cap what b leaves, whatever follows: what
// counts in the end is the sum less the largest of both, the lesser of sum less
// largest here and sum less largest there.
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
