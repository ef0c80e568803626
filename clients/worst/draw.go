package main

import (
	"context"
	"maps"
	"math/rand/v2"
	"slices"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// drawn is a request that gets a time limit.
type drawn struct {
	what  string
	limit time.Duration
	plan  bool // of a whole order
	// request is nil for a board on a line, which the genes define.
	request, answer proto.Message
	call            *call
	genes           *genes
}

// toRead is added to the limit of a plan of a whole order: reading its request, up to 3
// MB, takes up to 20 ms.
const toRead = 20 * time.Millisecond

// draw draws a request: one that once exceeded a limit, any call with a limit, or a board
// on a line.
func draw(r *rand.Rand, all map[string]*ripwrightv1.SolveBoardRequest) *drawn {
	d := &drawn{limit: time.Duration(1+r.IntN(150)) * time.Millisecond, genes: fresh(r), plan: r.IntN(6) == 0}
	k := r.IntN(5)
	switch {
	case d.plan:
		d.call = &calls[3+r.IntN(6)]
		d.limit += toRead
	case k == 0:
		names := slices.Sorted(maps.Keys(all))
		d.call, d.what = &calls[0], names[r.IntN(len(names))]
		m := proto.CloneOf(all[d.what])
		d.request, d.answer = m, &ripwrightv1.SolveBoardResponse{}
		if m.Options == nil {
			m.Options = &ripwrightv1.SolveOptions{}
		}
		return d
	case k < 4:
		d.call = &calls[k-1]
	default:
		d.what = "RipService/RunLine"
		return d
	}
	d.what = d.call.name
	d.request, d.answer = d.call.draw(d.genes, 0)
	return d
}

// send sends the request and waits for its answer.
func (d *drawn) send(ctx context.Context, conn *grpc.ClientConn) error {
	return d.call.send(ctx, conn, d.request, proto.Clone(d.answer))
}
