package sim

import (
	"fmt"
	"math"
	"slices"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// book is the line's own record of what it cut: the plans that it received and their
// outcomes. The service's summary must agree with it.
type book struct {
	items    map[[3]string]*total // order, item, stack
	outcomes map[ripwrightv1.CutOutcome]int32
	planned  int32
	refused  int32
	face     float64
	made     map[[2]string]float64 // order and item, in the item's unit
}

type total struct {
	strips int32
	length int64   // micrometres
	area   float64 // m2
}

func newBook() *book {
	return &book{items: map[[3]string]*total{}, outcomes: make(map[ripwrightv1.CutOutcome]int32), made: map[[2]string]float64{}}
}

// enter records the outcome of a board. named finds the order of what counts for an order
// other than the board's own.
func (k *book) enter(own *ripwrightv1.CutOrder, named func(string) *ripwrightv1.CutOrder, p *ripwrightv1.LinePlan, c *ripwrightv1.CutConfirmation) {
	k.outcomes[c.GetOutcome()]++
	of := func(id string) *ripwrightv1.CutOrder {
		if id == "" {
			return own
		}
		return named(id)
	}
	plan := p.GetPlan()
	switch c.GetOutcome() {
	case ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT, ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK, ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE:
		return
	case ripwrightv1.CutOutcome_CUT_OUTCOME_RUNNER_UP:
		plan = p.GetRunnersUp()[c.GetRunnerUp()]
	case ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED, ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE:
		k.face += plan.GetAccount().GetFaceM2()
		for _, s := range c.GetStrips() {
			var lengths []float64
			for _, r := range s.GetStretches() {
				lengths = append(lengths, r.GetLengthMm())
			}
			order := s.GetOrderId()
			if order == "" && s.Pocket != nil {
				order = plan.GetPockets()[s.GetPocket()].GetOrderId()
			}
			k.strip(of(order), s.GetItemId(), s.GetStack(), s.GetWidthMm(), lengths)
		}
		return
	case ripwrightv1.CutOutcome_CUT_OUTCOME_UNSPECIFIED, ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED:
	}
	k.face += plan.GetAccount().GetFaceM2()
	for _, s := range plan.GetPockets() {
		if s.GetItemId() == "" {
			continue
		}
		var lengths []float64
		for _, r := range s.GetStretches() {
			lengths = append(lengths, r.GetToMm()-r.GetFromMm())
		}
		k.strip(of(s.GetOrderId()), s.GetItemId(), s.GetStack(), s.GetWidthMm(), lengths)
	}
}

// strip counts a strip. How it counts is written again here on purpose, so that the book
// checks the service.
func (k *book) strip(o *ripwrightv1.CutOrder, id, stack string, width float64, lengths []float64) {
	it := itemOf(o, id)
	if stack == "" {
		stack = it.GetStack()
	}
	at := [3]string{o.GetOrderId(), id, stack}
	if k.items[at] == nil {
		k.items[at] = &total{}
	}
	t := k.items[at]
	t.strips++
	var length int64
	pieces := 0.0
	for _, r := range lengths {
		um := int64(math.Round(r * 1000))
		length += um
		if pl := it.GetPieceLengthMm(); pl > 0 {
			pieces += float64(um / int64(math.Round(pl*1000)))
		}
	}
	t.length += length
	t.area += width / 1000 * float64(length) / 1e6
	made := [2]string{o.GetOrderId(), id}
	switch {
	case it.GetRange() != nil:
		k.made[made] += (width - it.GetPanel().GetJointAllowanceMm()) / 1000 * float64(length) / 1e6
	case it.GetPieceLengthMm() > 0:
		k.made[made] += pieces
	default:
		k.made[made] += float64(length) / 1e6
	}
}

// itemOf finds an item of an order; nil if there is none.
func itemOf(o *ripwrightv1.CutOrder, id string) *ripwrightv1.Item {
	i := slices.IndexFunc(o.GetItems(), func(it *ripwrightv1.Item) bool { return it.GetItemId() == id })
	if i < 0 {
		return nil
	}
	return o.GetItems()[i]
}

// compare lists differences between a summary and the book.
func (k *book) compare(s *ripwrightv1.RunSummary) (all []string) {
	differ := func(what string, got, want any) {
		all = append(all, fmt.Sprintf("%s: summary %v, book %v", what, got, want))
	}
	if s.GetPlanned() != k.planned || s.GetRefused() != k.refused || s.GetUnconfirmed() != 0 {
		differ("boards", []int32{s.GetPlanned(), s.GetRefused(), s.GetUnconfirmed()}, []int32{k.planned, k.refused, 0})
	}
	outcomes := 0
	for _, o := range s.GetOutcomes() {
		outcomes++
		if k.outcomes[o.GetOutcome()] != o.GetBoards() {
			differ(o.GetOutcome().String(), o.GetBoards(), k.outcomes[o.GetOutcome()])
		}
	}
	if outcomes != len(k.outcomes) {
		differ("outcomes", outcomes, len(k.outcomes))
	}
	for _, i := range s.GetItems() {
		at := [3]string{i.GetOrderId(), i.GetItemId(), i.GetStack()}
		t := k.items[at]
		if t == nil || t.strips != i.GetStrips() || float64(t.length)/1e6 != i.GetLengthM() || apart(t.area, i.GetAreaM2()) {
			differ(fmt.Sprint(at), i, t)
		}
	}
	if len(s.GetItems()) != len(k.items) {
		differ("items", len(s.GetItems()), len(k.items))
	}
	a := s.GetAccount()
	sum := a.GetStripM2() + a.GetEndTrimM2() + a.GetOffcutM2() + a.GetEdgingM2() + a.GetKerfM2() + a.GetOtherM2()
	if apart(a.GetFaceM2(), k.face) || apart(sum, k.face) {
		differ("face", []float64{a.GetFaceM2(), sum}, k.face)
	}
	return all
}

// fills lists differences between the made amounts and the book. before is the order as
// first sent.
func (k *book) fills(before *ripwrightv1.CutOrder, fills []*ripwrightv1.Fill) (all []string) {
	for i, f := range fills {
		made := amount(before.GetItems()[i].GetMade()) + k.made[[2]string{before.GetOrderId(), f.GetItemId()}]
		if apart(amount(f.GetMade()), made) || amount(f.GetReserved()) != 0 {
			all = append(all, fmt.Sprintf("%s: made %g, reserved %g; the book has %g made", f.GetItemId(), amount(f.GetMade()), amount(f.GetReserved()), made))
		}
	}
	return all
}

func amount(a *ripwrightv1.Amount) float64 {
	return a.GetLengthM() + a.GetAreaM2() + float64(a.GetPieces())
}

// apart allows for the rounding errors of sums and, for areas, for the square micrometre
// by which each board is rounded down.
func apart(a, b float64) bool { return math.Abs(a-b) > 1e-8*max(1, math.Abs(a)) }
