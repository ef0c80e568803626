package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/order"
	"github.com/ripwright/ripwright/solver/run"
)

// Fills says how each item of the order stands in a run.
func (l *Line) Fills(r *run.Run) []*ripwrightv1.LineFill {
	out := make([]*ripwrightv1.LineFill, len(l.Items))
	for i := range out {
		it, count := &l.Items[i], l.More[i].Count
		k := run.Key{Order: l.OrderID, Item: it.ID}
		made, reserved := r.Made(k), r.Reserved(k)
		f := &ripwrightv1.LineFill{ItemId: it.ID, Made: amount(count, made), Reserved: amount(count, reserved)}
		if it.Measure != order.Unlimited {
			f.Required = amount(count, it.Required)
			f.Open = amount(count, max(it.Required-made-reserved, 0))
		}
		for j := range it.Cuts {
			f.Lengths = append(f.Lengths, lineLength(r, k, &it.Cuts[j]))
		}
		out[i] = f
	}
	return out
}

func lineLength(r *run.Run, k run.Key, c *order.Cut) *ripwrightv1.LineLengthFill {
	f := &ripwrightv1.LineLengthFill{LengthMm: c.Length.MM(),
		Made: int32(r.MadeCuts(k, c.Length)), Reserved: int32(r.ReservedCuts(k, c.Length))}
	if c.Limited {
		required := int32(c.Required)
		f.Required = &required
	}
	return f
}

// Summary says what a run came to.
func (l *Line) Summary(r *run.Run) *ripwrightv1.RunSummary {
	t := &r.Totals
	out := &ripwrightv1.RunSummary{
		RunId: l.RunID, Planned: t.Planned, Refused: t.Refused, Unconfirmed: int32(len(r.Held)), CycleS: t.Cycle.Seconds(),
		Account: &ripwrightv1.RunAccount{
			FaceM2: t.Face.SquareMetres(), StripM2: t.Strip.SquareMetres(), EndTrimM2: t.EndTrim.SquareMetres(),
			OffcutM2: t.Offcut.SquareMetres(), EdgingM2: t.Edging.SquareMetres(), KerfM2: t.Kerf.SquareMetres(),
			OtherM2: t.Other.SquareMetres(), BoardFeet: boardFeet(t.Volume),
		},
	}
	if t.Face != (run.Sum{}) {
		out.Account.Yield = t.Strip.Float() / t.Face.Float()
	}
	for m := range len(outcomes) {
		m := ripwrightv1.CutOutcome(m + 1)
		if n := t.Outcomes[outcomes[m]]; n > 0 {
			out.Outcomes = append(out.Outcomes, &ripwrightv1.OutcomeCount{Outcome: m, Boards: n})
		}
	}
	for i := range t.Tallies {
		y := &t.Tallies[i]
		out.Items = append(out.Items, &ripwrightv1.ItemTotal{OrderId: y.Order, ItemId: y.Item, Stack: y.Stack, Strips: y.Strips,
			LengthM: y.Length.Metres(), LengthFt: y.Length.Metres() / 0.3048, AreaM2: y.Area.SquareMetres(), PanelM: l.panel(y)})
	}
	out.Stacks = stacks(t.Tallies)
	for i := range t.Packs {
		p := &t.Packs[i]
		out.Packs = append(out.Packs, &ripwrightv1.PackTotal{PackId: p.ID, Boards: p.Boards,
			FaceM2: p.Face.SquareMetres(), BoardFeet: boardFeet(p.Volume)})
	}
	return out
}

// panel is how many metres of panel the strips of a tally make, or nil where they
// are not glued up. Each loses the joint allowance over its whole length.
func (l *Line) panel(y *run.Tally) *float64 {
	for i := range l.Items {
		it := &l.Items[i]
		if it.ID == y.Item && y.Order == l.OrderID && it.Panel > 0 {
			m := (y.Area.SquareMetres() - it.Joint.MM()/1e3*y.Length.Metres()) / (it.Panel.MM() / 1e3)
			return &m
		}
	}
	return nil
}

func boardFeet(volume run.Sum) float64 { return volume.CubicMetres() / boardFoot }

// stacks adds tallies up by stack, in the order in which stacks are first met.
func stacks(all []run.Tally) (out []*ripwrightv1.StackTotal) {
	at := map[string]int{}
	var length []int64
	var area []run.Sum
	for i := range all {
		y := &all[i]
		k, ok := at[y.Stack]
		if !ok {
			k = len(out)
			at[y.Stack] = k
			out, length, area = append(out, &ripwrightv1.StackTotal{Stack: y.Stack}), append(length, 0), append(area, run.Sum{})
		}
		s := out[k]
		s.Strips += y.Strips
		length[k] += int64(y.Length)
		area[k].Add(y.Area)
		s.LengthM, s.AreaM2 = float64(length[k])/micrometres, area[k].SquareMetres()
		if n := len(s.ItemIds); n == 0 || s.ItemIds[n-1] != y.Item {
			s.ItemIds = append(s.ItemIds, y.Item)
		}
	}
	return out
}
