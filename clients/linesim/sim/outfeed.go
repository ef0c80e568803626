package sim

import (
	"fmt"
	"slices"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// outfeed is what a line knows of its bays from the changes in plans.
type outfeed struct {
	bays    map[int32]*ripwrightv1.OutfeedBay
	changes int32 // of bays that had a stack
}

// planned records what a plan changes, and checks that it makes strips only for the bays
// that there are.
func (o *outfeed) planned(m *ripwrightv1.LineSetUp, p *ripwrightv1.LinePlan) error {
	has := m.GetOutfeedBays()
	moved := 0
	for _, b := range p.GetBayChanges() {
		if b.GetBay() < 0 || b.GetBay() >= has.GetBays() || proto.Equal(b, o.bays[b.GetBay()]) {
			return fmt.Errorf("bay change %v: the outfeed has %d bays, this one holds %v", b, has.GetBays(), o.bays[b.GetBay()])
		}
		if o.bays[b.GetBay()] != nil {
			moved++
		}
		o.bays[b.GetBay()] = b
	}
	o.changes += int32(moved)
	if took := float64(moved) * has.GetChangeS(); took != p.GetBaysChangingS() {
		return fmt.Errorf("%d bay changes of %g s count as %g s", moved, has.GetChangeS(), p.GetBaysChangingS())
	}
	if has == nil {
		return nil
	}
	for _, plan := range append([]*ripwrightv1.Plan{p.GetPlan()}, p.GetRunnersUp()...) {
		for _, k := range plan.GetPockets() {
			if k.GetItemId() != "" && !o.takes(k.GetItemId(), k.GetStack()) {
				return fmt.Errorf("%s goes to stack %q, which has none of the bays %v", k.GetItemId(), k.GetStack(), o.bays)
			}
		}
	}
	return nil
}

func (o *outfeed) takes(item, stack string) bool {
	for _, b := range o.bays {
		if b.GetStack() == stack && (stack != "" || slices.Contains(slices.Concat(b.GetItemIds(), b.GetNextItemIds()), item)) {
			return true
		}
	}
	return false
}

// lies checks what a resumed run reports to lie in the bays. Their items are those of the
// order in force.
func (o *outfeed) lies(all []*ripwrightv1.OutfeedBay) error {
	if len(all) != len(o.bays) {
		return fmt.Errorf("resumed with bays %v, want %v", all, o.bays)
	}
	for _, b := range all {
		if o.bays[b.GetBay()].GetStack() != b.GetStack() {
			return fmt.Errorf("resumed with bays %v, want %v", b, o.bays[b.GetBay()])
		}
	}
	return nil
}

// summed checks what the summary reports of them.
func (o *outfeed) summed(m *ripwrightv1.LineSetUp, s *ripwrightv1.BayTotals) error {
	if (s != nil) != (m.GetOutfeedBays() != nil) || s.GetChanges() != o.changes {
		return fmt.Errorf("%d bay changes; the summary has %v", o.changes, s)
	}
	if s.GetWorth() > s.GetFreeWorth() || s.GetFreeWorth() > s.GetFreeWorthBound() {
		return fmt.Errorf("worth with bays, free of them and its bound do not rise: %v", s)
	}
	for _, l := range s.GetLumber() {
		if l.GetFreeBoards() > l.GetBoards() || l.GetFreeFaceM2() > l.GetFaceM2() || l.GetExtraFaceM2() < 0 || (l.ExtraFaceM2 != nil) != l.GetFreeFull() {
			return fmt.Errorf("the lumber that bays cost is inconsistent: %v", l)
		}
	}
	return nil
}
