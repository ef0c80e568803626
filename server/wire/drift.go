package wire

import (
	"fmt"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/drift"
	"github.com/ripwright/ripwright/solver/run"
	"github.com/ripwright/ripwright/solver/unit"
)

// drift reads how widths are watched.
func (r *reader) drift(m *ripwrightv1.DriftWatch) drift.Settings {
	p := at(nil, "drift_watch")
	s := drift.Settings{Shift: drift.UsualShift}
	if m == nil {
		return s
	}
	if m.ShiftMm != nil {
		s.Shift = r.mm(&p, "shift_mm", m.GetShiftMm(), driftShift)
	}
	s.Scatter = r.maybeMM(&p, "scatter_mm", m.ScatterMm, scatter)
	return s
}

// Turns lists the pockets that began to drift, or stopped.
func Turns(turns []drift.Turn) (all []*ripwrightv1.WidthDrift) {
	for i := range turns {
		t := &turns[i]
		m := widthDrift(t.Near, t.Far, t.Blade, t.By, t.Strips)
		if t.Way == drift.None {
			m.Says = fmt.Sprintf("strips between %s come out as planned again", between(t.Near, t.Far))
		}
		all = append(all, m)
	}
	return all
}

// Adrift lists the pockets of a run that have drifted.
func Adrift(r *run.Run) (all []*ripwrightv1.WidthDrift) {
	if r.Drift == nil {
		return nil
	}
	for _, c := range r.Drift.Adrift() {
		all = append(all, widthDrift(c.Near, c.Far, drift.Edge, c.By, 0))
	}
	return all
}

func widthDrift(near, far, blade int, by unit.Length, strips int32) *ripwrightv1.WidthDrift {
	m := &ripwrightv1.WidthDrift{FarBlade: int32(far), ShiftMm: by.MM(), Strips: strips}
	if near != drift.Edge {
		m.NearBlade = proto.Int32(int32(near))
	}
	how := "wide"
	if by < 0 {
		by, how = -by, "narrow"
	}
	m.Says = fmt.Sprintf("strips between %s come out about %.2f mm too %s", between(near, far), by.MM(), how)
	if blade != drift.Edge {
		m.Blade = proto.Int32(int32(blade))
		m.Says += fmt.Sprintf("; on the other side of blade %d strips have shifted the opposite way, so check that blade first", blade)
	}
	return m
}

func between(near, far int) string {
	if near == drift.Edge {
		return fmt.Sprintf("the straight edge and blade %d", far)
	}
	return fmt.Sprintf("blades %d and %d", near, far)
}
