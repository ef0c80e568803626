package main

import (
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/proto/codec"
	"github.com/ripwright/ripwright/testdata/requests"
)

// few is how many requests a test draws: boards, boards on a line, and an order among them.
const few = 8

func drawn(t *testing.T, seed uint64) (all []*requests.Drawn) {
	t.Helper()
	known, err := requests.Known()
	if err != nil {
		t.Fatal(err)
	}
	r := requests.Random(seed)
	for range few {
		all = append(all, requests.Draw(r, known))
	}
	return all
}

// Every request is answered, and the search looks at the clock meanwhile; a caller that
// leaves at once has no answer.
func TestAsk(t *testing.T) {
	codec.Register()
	w, err := newWithin()
	if err != nil {
		t.Fatal(err)
	}
	for n, d := range drawn(t, 3) {
		f, err := w.ask(d, false)
		if err != nil || f.longest <= 0 {
			t.Errorf("%s, request %d: %v between two looks at the clock, %v", d.What, n, f.longest, err)
		}
		if d.Request == nil {
			continue
		}
		d.Limit = 0
		if _, err := w.ask(d, true); status.Code(err) != codes.Canceled {
			t.Errorf("%s, request %d, cancelled at once: %v", d.What, n, err)
		}
	}
}

// A failure is told by its seed and the request's number, so the same seed draws the same
// requests, and another seed others.
func TestSameRequests(t *testing.T) {
	again, others := drawn(t, 3), drawn(t, 4)
	for n, d := range drawn(t, 3) {
		board := d.Genes.Job().Board
		if a := again[n]; a.What != d.What || a.Limit != d.Limit || !proto.Equal(a.Request, d.Request) || !proto.Equal(a.Genes.Job().Board, board) {
			t.Errorf("request %d is %s within %v, and then %s within %v", n, d.What, d.Limit, a.What, a.Limit)
		}
		if proto.Equal(others[n].Genes.Job().Board, board) {
			t.Errorf("another seed draws the same board for request %d", n)
		}
	}
}

// Of a thousand answers one may be later than usual, none later than most, both times the
// slack; of fewer only the latest counts.
func TestPromised(t *testing.T) {
	const usual, most = 10 * time.Millisecond, 25 * time.Millisecond
	for _, c := range []struct {
		n         int
		at, worst time.Duration
		slack     float64
		kept      bool
	}{
		{1000, usual, most, 1, true},
		{1000, usual + 1, most, 1, false},
		{999, usual + 1, most, 1, true},
		{999, 0, most + 1, 1, false},
		{1000, 2 * usual, 2 * most, 2, true},
		{1000, 0, 2*most + 1, 2, false},
	} {
		if err := requests.Promised("answers", c.n, c.at, c.worst, usual, most, c.slack); (err == nil) != c.kept {
			t.Errorf("%+v: %v", c, err)
		}
	}
}
