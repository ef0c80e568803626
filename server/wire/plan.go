package wire

import (
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/solver/rip"
	"github.com/ripwright/ripwright/solver/unit"
)

func (j *Job) plan(p *rip.Plan) *ripwrightv1.Plan {
	out := &ripwrightv1.Plan{
		Setting:      setting(p),
		Pockets:      make([]*ripwrightv1.Pocket, len(p.Pockets)),
		Worth:        p.Worth.Money(),
		TravelMm:     p.Travel.MM(),
		BladesInWood: int32(p.BladesInWood),
		DeviationMm:  p.Deviation.MM(),
	}
	j.turned(out, p)
	if j.whole() {
		out.Account = j.account(&p.Account)
	}
	block := make([]ripwrightv1.Pocket, len(p.Pockets)) // one piece of memory for all
	for i := range p.Pockets {
		out.Pockets[i] = &block[i]
		j.pocket(out.Pockets[i], &p.Pockets[i])
	}
	return out
}

// setting gives a plan's positions of fence and blades.
func setting(p *rip.Plan) *ripwrightv1.Setting {
	// A message and what it points to, in one piece of memory.
	var m struct {
		ripwrightv1.Setting
		fence, skew float64
	}
	m.fence, m.skew = p.Fence.MM(), p.Skew.MM()
	m.FenceMm, m.SkewMmPerM, m.BladesMm = &m.fence, &m.skew, make([]float64, len(p.Blades))
	for i, b := range p.Blades {
		m.BladesMm[i] = b.MM()
	}
	return &m.Setting
}

// whole reports whether plans are reported in full.
func (j *Job) whole() bool { return j.Detail.GetPlans() != ripwrightv1.PlanDetail_PLAN_DETAIL_POCKETS }

// pocket writes p into out.
func (j *Job) pocket(out *ripwrightv1.Pocket, p *rip.Pocket) {
	blades := [2]int32{int32(p.LeftBlade), int32(p.RightBlade)}
	out.FarBlade = &blades[1]
	out.NearMm, out.FarMm, out.WidthMm = p.Left.MM(), p.Right.MM(), p.Width().MM()
	out.CountedLengthM = p.Counted.Metres()
	out.Worth = p.Worth.Money()
	if p.LeftBlade != rip.FenceSide {
		out.NearBlade = &blades[0]
	}
	if p.Item == rip.None {
		return
	}
	out.OrderId, out.ItemId = j.Named(p.Item)
	out.Stack = j.Items[p.Item].Stack
	if !j.whole() {
		return
	}
	out.Pieces = j.pieces(&j.Problem.Items[p.Item], p.Pieces)
	out.Stretches = make([]*ripwrightv1.Stretch, len(p.Runs))
	block := make([]ripwrightv1.Stretch, len(p.Runs))
	for i, r := range p.Runs {
		out.Stretches[i] = &block[i]
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
		CrosscutLossM2: proto.Float64(a.CrosscutLoss.SquareMetres()),
		ReripM2:        proto.Float64(a.Rerip.SquareMetres()),
		ReripWorth:     proto.Float64(a.ReripWorth.Money()),
	}
	if a.Face > 0 { // a sliver may be smaller than the unit of area
		out.YieldRatio = proto.Float64(a.Yield())
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
	case rip.NoLimit:
	}
	return &ripwrightv1.Proof{
		Worth:   j.net(r.Best).Money(),
		Bound:   r.Bound.Money(),
		Proven:  r.Proven,
		EndedBy: ended,
		Work:    float64(r.Work),
	}
}
