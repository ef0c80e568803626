package requests

import (
	"maps"
	"math/rand/v2"
	"slices"
	"time"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Drawn is a request that gets a time limit.
type Drawn struct {
	What  string
	Limit time.Duration
	Plan  bool // of a whole order
	// Request is nil for a board on a line, which the genes define.
	Request, Answer proto.Message
	Call            *Call
	Genes           *Genes
}

// toRead is added to the limit of a plan of a whole order: reading its request, up to 3
// MB, takes up to 20 ms.
const toRead = 20 * time.Millisecond

// Random gives the numbers by which Draw draws the requests of a seed.
func Random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 5)) }

// Draw draws a request: one of those that once exceeded a limit, any call with a limit, or
// a board on a line.
func Draw(r *rand.Rand, known map[string]*ripwrightv1.SolveBoardRequest) *Drawn {
	d := &Drawn{Limit: time.Duration(1+r.IntN(150)) * time.Millisecond, Genes: Fresh(r), Plan: r.IntN(6) == 0}
	k := r.IntN(5)
	switch {
	case d.Plan:
		d.Call = &Calls[3+r.IntN(6)]
		d.Limit += toRead
	case k == 0:
		names := slices.Sorted(maps.Keys(known))
		d.Call, d.What = &Calls[0], names[r.IntN(len(names))]
		m := proto.CloneOf(known[d.What])
		d.Request, d.Answer = m, &ripwrightv1.SolveBoardResponse{}
		if m.Options == nil {
			m.Options = &ripwrightv1.SolveOptions{}
		}
		return d
	case k < 4:
		d.Call = &Calls[k-1]
	default:
		d.What = "RipService/RunLine"
		return d
	}
	d.What = d.Call.Name
	d.Request, d.Answer = d.Call.Draw(d.Genes, 0)
	return d
}
