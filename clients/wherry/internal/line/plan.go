package line

import (
	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// reasonOf says why an answer has no plan for cutting the board; 0: it has one.
func reasonOf(a *ripwrightv1.RunLineResponse) contract.Reason {
	if r := a.GetRefused(); r != nil {
		switch r.GetReason() {
		case ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_TOO_LATE:
			return contract.TooLate
		case ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BUSY, ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_BOARDS_IN_FLIGHT:
			return contract.Busy
		case ripwrightv1.LineRefusalReason_LINE_REFUSAL_REASON_PLAN_WITHHELD:
			return contract.Withheld
		default:
			return contract.Invalid
		}
	}
	p := a.GetPlan()
	switch {
	case p == nil || p.GetPlan() == nil:
		return contract.NoRun
	case p.GetDoNotFeed() != nil:
		return contract.NothingToGain
	}
	return 0
}

// planWords are the words of a plan, without its number. Arrays are padded with zeros to
// the PLC's number of entries.
func planWords(a *ripwrightv1.LinePlan, has func(string) bool, entries func(string) int) (plc.Values, contract.Reason) {
	set := a.GetPlan().GetSetting()
	if set.GetTurn() > ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED && !has(contract.PlanTurn) || set.GetSkewMmPerM() != 0 && !has(contract.PlanSkew) {
		return nil, contract.Untold
	}
	if n := entries(contract.PlanBlades); n > 0 && n != len(set.GetBladesMm()) {
		return nil, contract.BladesDiffer
	}
	v := plc.Values{
		contract.PlanArbor:  {S: a.GetArborFingerprint()},
		contract.PlanFence:  {R: set.GetFenceMm()},
		contract.PlanBlades: {Rs: set.GetBladesMm()},
	}
	if has(contract.PlanTurn) {
		v[contract.PlanTurn] = plc.Value{N: uint32(max(set.GetTurn(), ripwrightv1.BoardTurn_BOARD_TURN_AS_SCANNED))}
	}
	if has(contract.PlanSkew) {
		v[contract.PlanSkew] = plc.Value{R: set.GetSkewMmPerM()}
	}
	if has(contract.PlanBoardID) {
		v[contract.PlanBoardID] = plc.Value{S: a.GetBoardId()}
	}
	var widths []float64
	for _, p := range strips(a.GetPlan()) {
		widths = append(widths, p.pocket.GetWidthMm())
	}
	if has(contract.PlanStrips) {
		v[contract.PlanStrips] = plc.Value{N: uint32(len(widths))}
	}
	if has(contract.PlanWidths) {
		n := entries(contract.PlanWidths)
		if n > 0 && len(widths) > n {
			return nil, contract.BladesDiffer
		}
		for len(widths) < n {
			widths = append(widths, 0)
		}
		v[contract.PlanWidths] = plc.Value{Rs: widths}
	}
	return v, 0
}

// strip of a plan, with the index of its pocket.
type strip struct {
	index  int32
	pocket *ripwrightv1.Pocket
}

// strips gives the pockets that have an item, from the fence outwards.
func strips(p *ripwrightv1.Plan) (l []strip) {
	for i, k := range p.GetPockets() {
		if k.GetItemId() != "" {
			l = append(l, strip{int32(i), k})
		}
	}
	return l
}
