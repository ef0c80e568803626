package trial

import "testing"

// Boards too small to have any area in the account's units still get numbers.
func TestSlivers(t *testing.T) {
	h := open(t)
	for _, size := range []float64{1e-6, 1e-3, 1} {
		m := goodSolve(t)
		m.GetSaw().Limits, m.Board.Defects = nil, nil
		m.Board.LengthMm = size
		m.Board.Stations = m.Board.Stations[:1]
		m.Board.Stations[0].XMm, m.Board.Stations[0].FarMm = 0, size
		finite(t, solve(t, h, m))
	}
}
