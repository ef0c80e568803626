package line

import (
	"math"
	"testing"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
)

// A board is what its words say, or a reason why it is not valid.
func TestScanned(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := func() plc.Values {
		return plc.Values{contract.BoardLength: {R: 3000}, contract.Points: {N: 3}, contract.Near: {Rs: []float64{0, 1, 2, 9}}, contract.Far: {Rs: []float64{200, 201, 202, 9}}}
	}
	for name, c := range map[string]struct {
		change func(plc.Values)
		want   contract.Reason
	}{
		"as it is":                        {func(plc.Values) {}, 0},
		"no length":                       {func(v plc.Values) { v[contract.BoardLength] = plc.Value{} }, contract.BadLength},
		"a length that is no number":      {func(v plc.Values) { v[contract.BoardLength] = plc.Value{R: nan} }, contract.BadLength},
		"a length without end":            {func(v plc.Values) { v[contract.BoardLength] = plc.Value{R: inf} }, contract.BadLength},
		"an edge that is no number":       {func(v plc.Values) { v[contract.Near].Rs[1] = nan }, contract.BadEdges},
		"an edge without end":             {func(v plc.Values) { v[contract.Far].Rs[2] = inf }, contract.BadEdges},
		"far on near":                     {func(v plc.Values) { v[contract.Far].Rs[0] = 0 }, contract.BadEdges},
		"beyond the points":               {func(v plc.Values) { v[contract.Far].Rs[3] = nan }, 0},
		"more points than entries":        {func(v plc.Values) { v[contract.Points] = plc.Value{N: 5} }, contract.BadCount},
		"so many points that it wraps":    {func(v plc.Values) { v[contract.Points] = plc.Value{N: math.MaxUint32} }, contract.BadCount},
		"one point":                       {func(v plc.Values) { v[contract.Points] = plc.Value{N: 1} }, contract.BadCount},
		"no points, and an entry too few": {func(v plc.Values) { delete(v, contract.Points); v[contract.Near] = plc.Value{Rs: []float64{0, 1}} }, contract.BadCount},
		"positions that go back":          {func(v plc.Values) { v[contract.Positions] = plc.Value{Rs: []float64{0, 2000, 1000}} }, contract.BadEdges},
		"too few positions":               {func(v plc.Values) { v[contract.Positions] = plc.Value{Rs: []float64{0, 3000}} }, contract.BadCount},
		"no thickness":                    {func(v plc.Values) { v[contract.Thickness] = plc.Value{} }, contract.BadLength},
	} {
		v := good()
		c.change(v)
		b, got := scanned(v, handover.Board{Boot: 7, Number: 3})
		if got != c.want || (b == nil) != (got != 0) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	b, _ := scanned(good(), handover.Board{Boot: 7, Number: 3})
	if b.GetBoardId() != "7-3" || len(b.GetStations()) != 3 || b.GetStations()[1].GetXMm() != 1500 || b.GetStations()[2].GetXMm() != 3000 {
		t.Error(b)
	}
}
