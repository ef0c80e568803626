package wire

import (
	"fmt"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
)

// warnings lists what deserves attention in a request without faults.
func (j *Job) warnings() (all []*ripwrightv1.Warning) {
	b := &j.Problem.Board
	add := func(kind ripwrightv1.WarningKind, path, says string) {
		all = append(all, &ripwrightv1.Warning{Kind: kind, Path: path, Says: says})
	}
	leastNear, greatestNear, _, _ := b.Span()
	switch {
	case leastNear != 0:
		add(ripwrightv1.WarningKind_WARNING_KIND_OFF_FENCE, "board.stations",
			"the least near_mm is not 0: a board against the fence touches it somewhere")
	case greatestNear == 0 && !b.StraightNear:
		add(ripwrightv1.WarningKind_WARNING_KIND_CROOK_UNSEEN, "board.stations",
			"every near_mm is 0 and near_edge_straight is not set: if the scanner measures width only, crook goes unseen and strips may lack wood")
	}
	known := map[string]bool{}
	for _, word := range defectWords {
		known[word] = true
	}
	for i := range b.Defects {
		known[b.Defects[i].Kind] = true
	}
	for i := range j.Own() {
		for k, kind := range j.Problem.Items[i].Accepts {
			if !known[kind] {
				add(ripwrightv1.WarningKind_WARNING_KIND_UNKNOWN_DEFECT_KIND, fmt.Sprintf("order.items[%d].accepts[%d]", i, k),
					"names a kind that no defect of this board has and that is none of the usual words; it may be misspelt")
			}
		}
	}
	return all
}

// OrderWarnings lists what deserves attention in an order without faults.
func OrderWarnings(items []order.Item) (all []*ripwrightv1.Warning) {
	for i := range items {
		it := &items[i]
		if _, limited := it.Open(); limited && it.Measure == order.ByPieces && it.PieceLength == 0 && len(it.Cuts) == 0 {
			all = append(all, &ripwrightv1.Warning{Kind: ripwrightv1.WarningKind_WARNING_KIND_STRIPS_AS_PIECES, Path: fmt.Sprintf("order.items[%d].required.pieces", i),
				Says: "each strip counts as one piece, however long it is, since the item has no piece_length_mm"})
		}
	}
	return all
}

// defectWords are the words of the trade.
var defectWords = []string{"knot", "sound_knot", "split", "wane", "stain", "pith"}
