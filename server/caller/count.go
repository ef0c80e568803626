package caller

import (
	"cmp"
	"slices"
)

// Count is how many of something a caller has.
type Count struct {
	Caller string `json:"caller"`
	N      int    `json:"n"`
}

// Most gives the n callers with most, in descending order. It sorts all.
func Most(all []Count, n int) []Count {
	slices.SortFunc(all, func(a, b Count) int {
		return cmp.Or(cmp.Compare(b.N, a.N), cmp.Compare(a.Caller, b.Caller))
	})
	return all[:min(n, len(all))]
}
