package line

import (
	"fmt"
	"math"

	"github.com/ripwright/ripwright/clients/wherry/internal/contract"
	"github.com/ripwright/ripwright/clients/wherry/internal/handover"
	"github.com/ripwright/ripwright/clients/wherry/internal/plc"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// scanWords are the words of a scan, read together: number and board come in the same
// answer.
func scanWords(has func(string) bool) (l []string) {
	for _, name := range []string{contract.Boot, contract.ScanNumber, contract.BoardID, contract.BoardLength, contract.Points,
		contract.Near, contract.Far, contract.Positions, contract.Thickness} {
		if has(name) {
			l = append(l, name)
		}
	}
	return l
}

// scanned makes a board from what the PLC shows, or says why it is not valid.
func scanned(v plc.Values, of handover.Board) (*ripwrightv1.Board, contract.Reason) {
	b := &ripwrightv1.Board{BoardId: v[contract.BoardID].S, LengthMm: v[contract.BoardLength].R}
	if b.BoardId == "" {
		b.BoardId = fmt.Sprintf("%d-%d", of.Boot, of.Number)
	}
	if !(b.LengthMm > 0) || math.IsInf(b.LengthMm, 0) {
		return nil, contract.BadLength
	}
	near, far := v[contract.Near].Rs, v[contract.Far].Rs
	n := max(len(near), len(far))
	if p, ok := v[contract.Points]; ok {
		n = int(min(p.N, math.MaxInt32))
	}
	at, listed := v[contract.Positions]
	if n < 2 || n > min(len(near), len(far)) || listed && n > len(at.Rs) {
		return nil, contract.BadCount
	}
	for i := range n {
		s := &ripwrightv1.Station{XMm: b.LengthMm * float64(i) / float64(n-1), NearMm: near[i], FarMm: far[i]}
		if listed {
			s.XMm = at.Rs[i]
		}
		if finite := s.XMm + s.NearMm + s.FarMm; math.IsNaN(finite) || math.IsInf(finite, 0) || s.FarMm <= s.NearMm || i > 0 && s.XMm <= b.Stations[i-1].XMm {
			return nil, contract.BadEdges
		}
		b.Stations = append(b.Stations, s)
	}
	if t, ok := v[contract.Thickness]; ok {
		if !(t.R > 0) || math.IsInf(t.R, 0) {
			return nil, contract.BadLength
		}
		b.ThicknessMm = &t.R
	}
	return b, 0
}
