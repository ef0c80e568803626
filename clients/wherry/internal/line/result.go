package line

import (
	"math"

	"github.com/ripwright/ripwright/clients/wherry/internal/books"
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// resultWords are the words of results, read together.
func resultWords(has func(string) bool) []string {
	l := []string{contract.Boot, contract.Results, contract.ResultNumber, contract.ResultPlan, contract.ResultOutcome}
	for _, n := range []string{contract.ResultBoot, contract.ResultWidths} {
		if has(n) {
			l = append(l, n)
		}
	}
	return l
}

// results gives those of the ring after a count: result c, counted from 0, is in slot c
// modulo the slots. Those overwritten in the meantime are missing. A ring whose number of
// slots differs from the mapping's has none that can be identified.
func results(v plc.Values, from, n uint32, slots int) (l []books.Result, missed uint32, err error) {
	for name, x := range v {
		if w, ok := contract.Named(name); ok && (w.Kind == contract.Numbers || w.Kind == contract.Reals) {
			if says := w.Wrong(len(x.Ns)+len(x.Rs), slots); says != "" {
				return nil, 0, &plc.Quality{Word: name, Status: says}
			}
		}
	}
	boot, written := v[contract.Boot].N, v[contract.Results].N
	if ahead := written - from; ahead > uint32(slots) && ahead < 1<<31 {
		missed = min(ahead-uint32(slots), n)
	}
	widths := v[contract.ResultWidths].Rs
	each := len(widths) / slots
	for c := from + missed; c != from+n; c++ {
		k := int(c % uint32(slots))
		r := books.Result{Board: handover.Board{Boot: boot, Number: v[contract.ResultNumber].Ns[k]},
			Plan: v[contract.ResultPlan].Ns[k], Outcome: contract.Outcome(v[contract.ResultOutcome].Ns[k])}
		if boots, ok := v[contract.ResultBoot]; ok {
			r.Boot = boots.Ns[k]
		}
		if r.Outcome == contract.AsMeasured && each > 0 {
			r.Widths = widths[k*each : (k+1)*each]
		}
		l = append(l, r)
	}
	return l, missed, nil
}

// outcomes maps the contract's outcomes to the service's.
var outcomes = map[contract.Outcome]ripwrightv1.CutOutcome{
	contract.AsPlanned:     ripwrightv1.CutOutcome_CUT_OUTCOME_AS_PLANNED,
	contract.AsMeasured:    ripwrightv1.CutOutcome_CUT_OUTCOME_AS_MEASURED,
	contract.NotCut:        ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT,
	contract.SomethingElse: ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE,
	contract.SentBack:      ripwrightv1.CutOutcome_CUT_OUTCOME_SENT_BACK,
	contract.SetAside:      ripwrightv1.CutOutcome_CUT_OUTCOME_SET_ASIDE,
}

// confirmation reports the outcome of a board to the service. A board that was not cut by
// its own plan counts for none of its strips.
func confirmation(b *books.Board, plan *ripwrightv1.Plan, r books.Result) *ripwrightv1.CutConfirmation {
	c := &ripwrightv1.CutConfirmation{BoardSequence: b.Sequence, BoardId: b.ID, Outcome: outcomes[r.Outcome]}
	byPlan := r.Outcome == contract.AsPlanned || r.Outcome == contract.AsMeasured
	switch {
	case c.Outcome == 0, byPlan && r.Plan != b.Number:
		c.Outcome = ripwrightv1.CutOutcome_CUT_OUTCOME_SOMETHING_ELSE
	case r.Outcome == contract.AsMeasured:
		for i, s := range strips(plan) {
			w := s.pocket.GetWidthMm()
			if i < len(r.Widths) && r.Widths[i] > 0 && !math.IsInf(r.Widths[i], 0) {
				w = r.Widths[i]
			}
			x := &ripwrightv1.CutStrip{ItemId: s.pocket.GetItemId(), WidthMm: w, Pocket: &s.index, Stack: s.pocket.GetStack()}
			for _, t := range s.pocket.GetStretches() {
				x.Stretches = append(x.Stretches, &ripwrightv1.CutStretch{LengthMm: t.GetToMm() - t.GetFromMm()})
			}
			x.Pieces = pieces(s.pocket)
			c.Strips = append(c.Strips, x)
		}
	}
	return c
}

// pieces counts the pieces of each length.
func pieces(p *ripwrightv1.Pocket) (l []*ripwrightv1.CutPieces) {
	for _, x := range p.GetPieces() {
		k := -1
		for i := range l {
			if l[i].GetLengthMm() == x.GetLengthMm() {
				k = i
			}
		}
		if k < 0 {
			l = append(l, &ripwrightv1.CutPieces{LengthMm: x.GetLengthMm()})
			k = len(l) - 1
		}
		l[k].Count++
	}
	return l
}
