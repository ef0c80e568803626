package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/run"
)

var doubtKinds = map[run.DoubtKind]ripwrightv1.StripDoubtKind{
	run.LongerThanBoard:  ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_LONGER_THAN_BOARD,
	run.WiderThanBoard:   ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_WIDER_THAN_BOARD,
	run.WiderThanPocket:  ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_WIDER_THAN_POCKET,
	run.OffItemWidth:     ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_OFF_ITEM_WIDTH,
	run.PiecesDoNotFit:   ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_PIECES_DO_NOT_FIT,
	run.BelowLeastLength: ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_BELOW_LEAST_LENGTH,
	run.MoreThanPockets:  ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_MORE_THAN_POCKETS,
	run.OfItemBefore:     ripwrightv1.StripDoubtKind_STRIP_DOUBT_KIND_OF_ITEM_BEFORE,
}

// mostDoubts bounds the doubts that one answer names.
const mostDoubts = 24

// Doubts lists what is unlikely about strips that were counted; prefix, which is empty or
// ends with a dot, goes before their paths.
func Doubts(all []run.Doubt, prefix string) (out []*ripwrightv1.StripDoubt) {
	for _, d := range all[:min(len(all), mostDoubts)] {
		out = append(out, &ripwrightv1.StripDoubt{Kind: doubtKinds[d.Kind], Path: prefix + d.Path, Says: d.Says})
	}
	return out
}

// DoubtKind is the schema's word for a kind of doubt.
func DoubtKind(k run.DoubtKind) ripwrightv1.StripDoubtKind { return doubtKinds[k] }
