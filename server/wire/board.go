package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/fault"
	"github.com/ripwright/ripwright/solver/wood"
)

func (r *reader) board(b *ripwrightv1.Board) wood.Board {
	p := at(nil, "board")
	if b == nil {
		r.faults.Because(fault.Missing, "board", "is missing; a board is needed")
		return wood.Board{}
	}
	r.text(&p, "board_id", b.GetBoardId(), ids)
	r.text(&p, "pack_id", b.GetPackId(), ids)
	out := wood.Board{
		Length:       r.mm(&p, "length_mm", b.GetLengthMm(), boardLength),
		Thickness:    r.maybeMM(&p, "thickness_mm", b.ThicknessMm, thickness),
		StraightNear: b.GetNearEdgeStraight(),
	}
	if r.entries(&p, "defects", len(b.GetDefects()), defects) {
		for i, d := range b.GetDefects() {
			q := nth(&p, "defects", i)
			r.text(&q, "kind", d.GetKind(), defectKind)
			out.Defects = append(out.Defects, wood.Defect{
				FromX: r.mm(&q, "from_x_mm", d.GetFromXMm(), alongBoard),
				ToX:   r.mm(&q, "to_x_mm", d.GetToXMm(), alongBoard),
				FromY: r.mm(&q, "from_y_mm", d.GetFromYMm(), across),
				ToY:   r.mm(&q, "to_y_mm", d.GetToYMm(), across),
				Kind:  d.GetKind(),
			})
		}
	}
	if !r.entries(&p, "stations", len(b.GetStations()), stations) {
		return out
	}
	out.Stations = make([]wood.Station, len(b.GetStations()))
	for i, s := range b.GetStations() {
		q := nth(&p, "stations", i)
		out.Stations[i] = wood.Station{
			X:    r.mm(&q, "x_mm", s.GetXMm(), alongBoard),
			Near: r.mm(&q, "near_mm", s.GetNearMm(), across),
			Far:  r.mm(&q, "far_mm", s.GetFarMm(), across),
		}
	}
	return out
}
