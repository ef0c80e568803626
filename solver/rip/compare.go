package rip

import "github.com/ripwright/ripwright/solver/internal/search/model"

// Compare is below 0 if plan p comes before q, both of one problem: by greater worth,
// less deviation, greater area of strips, fewer blades in the wood, less travel, in this
// order, and among equal ones by skew, fence, blades and items.
func (p *Plan) Compare(q *Plan) int { return p.ordered().Compare(q.ordered()) }

// ordered gives the figures by which plans are ordered.
func (p *Plan) ordered() *model.Plan {
	m := &model.Plan{Score: p.score(), Skew: int64(p.Skew), Fence: int64(p.Fence)}
	for _, a := range p.Blades {
		m.Blades = append(m.Blades, int64(a))
	}
	for i := range p.Pockets {
		m.Wants = append(m.Wants, p.Pockets[i].Item)
	}
	return m
}

// score gives the figures by which plans are compared, as the plan states them.
func (p *Plan) score() model.Score {
	return model.Score{Worth: p.Worth, Dev: int64(p.Deviation), Area: int64(p.StripArea), Blades: int64(p.BladesInWood), Travel: int64(p.Travel)}
}
