package costtogo_test

import (
	"math/rand/v2"

	"github.com/ripwright/ripwright/solver/internal/drawn"
	"github.com/ripwright/ripwright/solver/internal/oracle"
	"github.com/ripwright/ripwright/solver/internal/search/budget"
	"github.com/ripwright/ripwright/solver/internal/search/costtogo"
	"github.com/ripwright/ripwright/solver/internal/search/model"
	"github.com/ripwright/ripwright/solver/internal/search/resource"
	"github.com/ripwright/ripwright/testdata/brief"
)

// sided is a drawn problem with its caps kept by states, for tests of its sides: the last
// blades on the right, the first on the left.
type sided struct {
	seed        int64
	r           *rand.Rand // what else is drawn
	m           *model.Model
	states      *resource.States
	profile     *costtogo.Profile
	moving      int   // blades of a side
	right, left int64 // place of the blade before a side
}

// sides gives n drawn problems, or fewer if tests are brief, without a straight edge
// and changed by change; only those that suit, whose boards have no gap and whose fence
// has two stops or more. It gives their number and in how many states keep a cap.
func sides(n int, stream uint64, change func(*oracle.Problem, *sided), suits func(*sided) bool, do func(*sided)) (tried, kept int) {
	for seed := int64(1); tried < brief.Fewer(n); seed++ {
		p := drawn.Draw(seed, 0)
		p.Board.StraightNear = false
		if p.Saw.Kerf == 0 {
			continue
		}
		x := &sided{seed: seed, r: rand.New(rand.NewPCG(uint64(seed), stream))}
		change(p, x)
		x.m = model.New(&p.Board, &p.Saw, p.Items)
		x.moving = min(len(x.m.Blades)-1, 3)
		x.right, x.left = x.m.Blades[len(x.m.Blades)-1-x.moving].Lo, x.m.Blades[x.moving].Lo
		if !x.m.Gapless || x.m.Fences() < 2 || !suits(x) {
			continue
		}
		tried++
		x.states = resource.New(x.m)
		for c := range x.m.Caps {
			for range 1 + x.r.IntN(3) {
				x.states.Keep(c, 40)
			}
		}
		if x.states.Count > 1 {
			kept++
		}
		x.profile = costtogo.NewProfile(x.m, new(costtogo.Buffer), budget.New(budget.Limits{}))
		do(x)
	}
	return tried, kept
}

// root is the place of the blade before a side.
func (x *sided) root(left bool) int64 {
	if left {
		return x.left
	}
	return x.right
}
