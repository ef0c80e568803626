package wire

import (
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

func (j *Job) plan(p *rip.Plan) *ripwrightv1.Plan {
	out := &ripwrightv1.Plan{
		SkewMmPerM:   p.Skew.MM(),
		FenceMm:      p.Fence.MM(),
		BladesMm:     make([]float64, len(p.Blades)),
		Pockets:      make([]*ripwrightv1.Pocket, len(p.Pockets)),
		Worth:        p.Worth.Money(),
		Account:      j.account(&p.Account),
		TravelMm:     p.Travel.MM(),
		BladesInWood: int32(p.BladesInWood),
		DeviationMm:  p.Deviation.MM(),
	}
	for i, b := range p.Blades {
		out.BladesMm[i] = b.MM()
	}
	block := make([]ripwrightv1.Pocket, len(p.Pockets)) // one piece of memory for all
	for i := range p.Pockets {
		out.Pockets[i] = &block[i]
		j.pocket(out.Pockets[i], &p.Pockets[i])
	}
	return out
}

// pocket writes p into out.
func (j *Job) pocket(out *ripwrightv1.Pocket, p *rip.Pocket) {
	out.RightBlade = int32(p.RightBlade)
	out.LeftMm, out.RightMm, out.WidthMm = p.Left.MM(), p.Right.MM(), p.Width().MM()
	out.CountedM = p.Counted.Metres()
	out.Worth = p.Worth.Money()
	if p.LeftBlade != rip.FenceSide {
		left := int32(p.LeftBlade)
		out.LeftBlade = &left
	}
	if p.Item == rip.None {
		return
	}
	out.ItemId = j.Problem.Items[p.Item].ID
	out.Stack = j.Items[p.Item].Stack
	out.Pieces = j.pieces(&j.Problem.Items[p.Item], p.Pieces)
	out.Runs = make([]*ripwrightv1.Run, len(p.Runs))
	block := make([]ripwrightv1.Run, len(p.Runs))
	for i, r := range p.Runs {
		out.Runs[i] = &block[i]
		block[i].FromMm, block[i].ToMm = r.From.MM(), r.To.MM()
	}
}

func (j *Job) account(a *rip.Account) *ripwrightv1.Account {
	out := &ripwrightv1.Account{
		FaceM2:         a.Face.SquareMetres(),
		StripM2:        a.Strip.SquareMetres(),
		EndTrimM2:      a.EndTrim.SquareMetres(),
		OffcutM2:       a.Offcut.SquareMetres(),
		EdgingM2:       a.Edging.SquareMetres(),
		KerfM2:         a.Kerf.SquareMetres(),
		CrosscutLossM2: a.CrosscutLoss.SquareMetres(),
		ReripM2:        a.Rerip.SquareMetres(),
		ReripWorth:     a.ReripWorth.Money(),
	}
	if a.Face > 0 { // a sliver may be less than the unit of area
		out.Yield = a.Yield()
	}
	if t := j.Problem.Board.Thickness; t > 0 {
		feet := BoardFeet(a.Face, t)
		out.BoardFeet = &feet
	}
	return out
}

// A board foot is 144 cubic inches.
const (
	inch      = 0.0254 // m; NIST SP 811, Appendix B
	boardFoot = 144 * inch * inch * inch
)

// BoardFeet gives face times thickness in board feet, unrounded. A board foot
// is 144 cubic inches.
func BoardFeet(face unit.Area, thickness unit.Length) float64 {
	return face.SquareMetres() * thickness.MM() / 1000 / boardFoot
}

func (j *Job) proof(r *rip.Result) *ripwrightv1.Proof {
	ended := ripwrightv1.EndedBy_ENDED_BY_NO_LIMIT
	switch r.EndedBy {
	case rip.TimeLimit:
		ended = ripwrightv1.EndedBy_ENDED_BY_TIME_LIMIT
	case rip.WorkLimit:
		ended = ripwrightv1.EndedBy_ENDED_BY_WORK_LIMIT
	case rip.MemoryLimit:
		ended = ripwrightv1.EndedBy_ENDED_BY_MEMORY_LIMIT
	}
	return &ripwrightv1.Proof{
		Worth:   j.net(r.Best).Money(),
		Bound:   r.Bound.Money(),
		Proven:  r.Proven,
		EndedBy: ended,
		Work:    float64(r.Work),
	}
}
