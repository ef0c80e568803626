package requests

import ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"

// Job is what all calls about one board share.
type Job struct {
	Board   *ripwrightv1.Board
	Saw     *ripwrightv1.Saw
	Order   *ripwrightv1.CutOrder
	Options *ripwrightv1.SolveOptions
}

// Job draws a board with its saw, its order and its options.
func (g *Genes) Job() Job {
	widest := g.one(300, 600, 1900)
	j := Job{Saw: g.saw(widest, false), Board: g.board(widest, mostStations, mostDefects), Order: g.Order(mostItems, false),
		Options: &ripwrightv1.SolveOptions{RunnersUp: int32(g.one(0, 0, 1, mostRunners)),
			Detail: &ripwrightv1.AnswerDetail{Fills: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL, Values: ripwrightv1.ItemDetail_ITEM_DETAIL_ALL}}}
	if g.Chance(0.2) {
		j.Options.PricePerSawHour = 100
	}
	return j
}

// SetUp is the beginning of a line for its order.
func (j *Job) SetUp() *ripwrightv1.LineSetUp {
	return &ripwrightv1.LineSetUp{RunId: "w", Order: j.Order, Options: j.Options, SawChoice: &ripwrightv1.LineSetUp_Saw{Saw: j.Saw}}
}
