package line

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// A ring with fewer or more elements than slots has no result that can be identified.
func TestShortArray(t *testing.T) {
	ring := func(n int) plc.Value { return plc.Value{Ns: make([]uint32, n)} }
	for name, c := range map[string]struct {
		word string
		v    plc.Value
		want string
	}{
		"whole":         {contract.ResultNumber, ring(16), ""},
		"short":         {contract.ResultNumber, ring(15), "result_number: has 15 elements; the ring has 16 slots"},
		"none":          {contract.ResultOutcome, plc.Value{}, "result_outcome: has 0 elements"},
		"longer":        {contract.ResultPlan, ring(32), "result_plan: has 32 elements"},
		"short boots":   {contract.ResultBoot, ring(3), "result_boot: has 3 elements"},
		"short widths":  {contract.ResultWidths, plc.Value{Rs: make([]float64, 20)}, "result_widths: has 20 elements"},
		"without boots": {contract.Boot, plc.Value{N: 7}, ""},
	} {
		v := plc.Values{contract.Boot: {N: 7}, contract.Results: {N: 16}, contract.ResultNumber: ring(16), contract.ResultPlan: ring(16), contract.ResultOutcome: ring(16)}
		v[c.word] = c.v
		l, _, err := results(v, 0, 16, 16)
		var q *plc.Quality
		if c.want == "" && (err != nil || len(l) != 16 || l[3].Boot != 7) || c.want != "" && (!errors.As(err, &q) || !strings.HasPrefix(err.Error(), c.want) || l != nil) {
			t.Errorf("%s: %v %v", name, l, err)
		}
	}
}

// A plan fills exactly the PLC's number of words, or none.
func TestPlanWords(t *testing.T) {
	fence, turn := 60.0, ripwrightv1.BoardTurn_BOARD_TURN_END_FOR_END
	plan := func(turn *ripwrightv1.BoardTurn, strips int) *ripwrightv1.LinePlan {
		p := &ripwrightv1.Plan{Setting: &ripwrightv1.Setting{FenceMm: &fence, BladesMm: []float64{150, 220}, Turn: turn}}
		for range strips {
			item := "stile"
			p.Pockets = append(p.Pockets, &ripwrightv1.Pocket{ItemId: item, WidthMm: 66.4})
		}
		return &ripwrightv1.LinePlan{BoardId: "b", ArborFingerprint: "f", Plan: p}
	}
	skewed, skew := plan(nil, 2), -1.5
	skewed.Plan.Setting.SkewMmPerM = &skew
	for name, c := range map[string]struct {
		plan   *ripwrightv1.LinePlan
		lacks  string
		blades int
		want   contract.Reason
		turn   uint32
	}{
		"as scanned":                 {plan(nil, 2), "", 2, 0, 1},
		"turned":                     {plan(&turn, 2), "", 2, 0, 2},
		"turned, without a word":     {plan(&turn, 2), contract.PlanTurn, 2, contract.Untold, 0},
		"as scanned, without a word": {plan(nil, 2), contract.PlanTurn, 2, 0, 0},
		"skewed":                     {skewed, "", 2, 0, 1},
		"skewed, without a word":     {skewed, contract.PlanSkew, 2, contract.Untold, 0},
		"other blades":               {plan(nil, 2), "", 4, contract.BladesDiffer, 0},
		"more strips":                {plan(nil, 4), "", 2, contract.BladesDiffer, 0},
	} {
		v, reason := planWords(c.plan, func(n string) bool { return n != c.lacks }, func(n string) int { return map[string]int{contract.PlanBlades: c.blades, contract.PlanWidths: 3}[n] })
		if reason != c.want || v[contract.PlanTurn].N != c.turn {
			t.Errorf("%s: %v %v", name, v, reason)
		}
		if want := c.plan.GetPlan().GetSetting().GetSkewMmPerM(); reason == 0 && v[contract.PlanSkew].R != want {
			t.Errorf("%s: %v", name, v)
		}
		if reason == 0 && !slices.Equal(v[contract.PlanWidths].Rs, []float64{66.4, 66.4, 0}) {
			t.Errorf("%s: %v", name, v)
		}
	}
}
