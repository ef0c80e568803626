package wire

import (
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/run"
)

// Fills gives the fill of each item of the order in a run, and of these the ones that the
// set-up asks for; before is all fills of the answer before, or nil.
func (l *Line) Fills(r *run.Run, before []*ripwrightv1.Fill) (all, told []*ripwrightv1.Fill) {
	all = l.stand(r)
	switch l.detail.GetFills() {
	case ripwrightv1.ItemDetail_ITEM_DETAIL_NONE:
		return nil, nil
	case ripwrightv1.ItemDetail_ITEM_DETAIL_CHANGED:
		return all, changed(all, before)
	case ripwrightv1.ItemDetail_ITEM_DETAIL_UNSPECIFIED, ripwrightv1.ItemDetail_ITEM_DETAIL_ALL:
	}
	return all, all
}

// changed gives the fills that differ from those before.
func changed(all, before []*ripwrightv1.Fill) (told []*ripwrightv1.Fill) {
	if len(before) != len(all) {
		return all
	}
	for i, f := range all {
		if !proto.Equal(f, before[i]) {
			told = append(told, f)
		}
	}
	return told
}

// stand gives the fill of each item of the order.
func (l *Line) stand(r *run.Run) []*ripwrightv1.Fill {
	all := make([]*ripwrightv1.Fill, len(l.Items))
	for i := range all {
		it := &l.Items[i]
		k := run.Key{Order: l.OrderID, Item: it.ID}
		f := new(ripwrightv1.Fill)
		fillOf(f, it, l.More[i].Count, r.Made(k), r.Reserved(k))
		f.Lengths = lengthFills(it, func(c int) int64 { return r.MadeCuts(k, it.Cuts[c].Length) },
			func(c int) int64 { return r.ReservedCuts(k, it.Cuts[c].Length) })
		all[i] = f
	}
	return all
}

// Summary gives the summary of a run, of all its totals or those since its mark.
func (l *Line) Summary(r *run.Run, t *run.Totals) *ripwrightv1.RunSummary {
	out := &ripwrightv1.RunSummary{
		RunId: l.RunID, Planned: t.Planned, Refused: t.Refused, Unconfirmed: int32(len(r.Held)) + r.Forgotten,
		Account: &ripwrightv1.Account{
			FaceM2: t.Face.SquareMetres(), StripM2: t.Strip.SquareMetres(), EndTrimM2: t.EndTrim.SquareMetres(),
			OffcutM2: t.Offcut.SquareMetres(), EdgingM2: t.Edging.SquareMetres(), KerfM2: t.Kerf.SquareMetres(),
			OtherM2: t.Other.SquareMetres(), BoardFeet: boardFeet(t.Volume),
		},
	}
	if t.Cycle > 0 {
		out.CycleS = proto.Float64(t.Cycle.Seconds())
	}
	if t.Face != (run.Sum{}) {
		out.Account.YieldRatio = proto.Float64(t.Strip.Float() / t.Face.Float())
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
	out.Times, out.Stops = times(r, t.Times)
	out.Bays = l.Bays.totals(t.Bays)
	return out
}

// panel is how many metres of panel the strips of a tally make; nil: they are not glued
// up. Each loses the joint allowance over its whole length.
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

// boardFeet gives nil if no thickness was measured.
func boardFeet(volume run.Sum) *float64 {
	if volume == (run.Sum{}) {
		return nil
	}
	return proto.Float64(volume.CubicMetres() / boardFoot)
}

// stacks adds up tallies by stack, in the order in which stacks first occur.
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
