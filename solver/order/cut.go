package order

import (
	"fmt"

	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/internal/published"
	"github.com/ripwright/ripwright/solver/saw"
	"github.com/ripwright/ripwright/solver/unit"
)

// Cut is one length that the strips of an item are crosscut to.
type Cut struct {
	Length unit.Length
	Value  int64 // millionths of money per piece
	// Limited says that only Required pieces are wanted; once that many are made the
	// length is off.
	Limited        bool
	Required, Made int64 // pieces
}

// Open reports how many pieces are still wanted, and whether there is a limit.
func (c *Cut) Open() (pieces int64, limited bool) {
	if !c.Limited {
		return 0, false
	}
	return max(c.Required-c.Made, 0), true
}

// Limits of an item's crosscut lengths.
const (
	MaxCuts   = published.MostEntriesOfCrosscutLengths
	MinCut    = published.LeastCutLengthLengthMm * unit.Millimetre
	MaxTrim   = published.MostCrosscutEndTrimMm * unit.Millimetre
	MaxPieces = int64(published.MostCutLengthRequired)
	MaxPanel  = published.MostPanelWidthMm * unit.Millimetre
)

// MaxAccepted limits the number of kinds of defects that an item accepts.
const MaxAccepted = published.MostEntriesOfItemAccepts

func (it *Item) cutFaults() fault.List {
	var l fault.List
	if len(it.Cuts) == 0 {
		if it.CutKerf != 0 {
			l.Add("crosscut.kerf_mm", "is given without lengths to cut")
		}
		if it.EndTrim != 0 {
			l.Add("crosscut.end_trim_mm", "is given without lengths to cut")
		}
		return l
	}
	if it.Value != 0 {
		l.Add("value", "is given along with crosscut.lengths; their own values count then, so omit it")
	}
	if it.Measure == ByPieces && it.Bonus.IsZero() {
		l.Add("required", "counts pieces, which crosscut.lengths do themselves; give required for each length")
	}
	if n := len(it.Cuts); n > MaxCuts {
		l.Because(fault.WrongCount, "crosscut.lengths", "has %d entries; at most %d are taken", n, MaxCuts)
		return l
	}
	if it.CutKerf < 0 || it.CutKerf > saw.MaxKerf {
		l.Because(fault.OutOfRange, "crosscut.kerf_mm", "is %g; must be 0 to %g", it.CutKerf.MM(), saw.MaxKerf.MM())
	}
	if it.EndTrim < 0 || it.EndTrim > MaxTrim {
		l.Because(fault.OutOfRange, "crosscut.end_trim_mm", "is %g; must be 0 to %g", it.EndTrim.MM(), MaxTrim.MM())
	}
	for i := range it.Cuts {
		c := &it.Cuts[i]
		path := func() string { return fmt.Sprintf("crosscut.lengths[%d]", i) }
		if c.Length < MinCut || c.Length > MaxLength {
			l.Because(fault.OutOfRange, path()+".length_mm", "is %g; must be %g to %g", c.Length.MM(), MinCut.MM(), MaxLength.MM())
		}
		if c.Value < 0 || c.Value > saw.MaxValue {
			l.Because(fault.OutOfRange, path()+".value", "must be 0 to %d", saw.MaxMoney)
		}
		if c.Required < 0 || c.Required > MaxPieces {
			l.Because(fault.OutOfRange, path()+".required", "must be 0 to %d pieces", MaxPieces)
		}
		if c.Made < 0 || c.Made > MaxPieces {
			l.Because(fault.OutOfRange, path()+".made", "must be 0 to %d pieces", MaxPieces)
		}
		for j := range i {
			if it.Cuts[j].Length == c.Length {
				l.Because(fault.Duplicate, path()+".length_mm", "is %g, which lengths[%d] has too", c.Length.MM(), j)
			}
		}
	}
	return l
}

func (it *Item) panelFaults() fault.List {
	var l fault.List
	if it.Panel == 0 && it.Joint == 0 {
		return l
	}
	if !it.Random {
		l.Add("panel", "is given for a fixed width; panels are glued up from a range")
		return l
	}
	if it.Panel <= 0 || it.Panel > MaxPanel {
		l.Because(fault.OutOfRange, "panel.width_mm", "is %g; must be above 0 and at most %g", it.Panel.MM(), MaxPanel.MM())
	}
	if it.Joint < 0 || it.Min > 0 && it.Joint >= it.Min {
		l.Because(fault.OutOfRange, "panel.joint_allowance_mm", "is %g; must be 0 or more and below range.min_mm %g", it.Joint.MM(), it.Min.MM())
	}
	return l
}
