package main

import (
	"context"
	"io"
	"time"

	"google.golang.org/grpc/encoding"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/requests"
)

// stream is a line's stream, both ends of it in this process.
type stream struct {
	w      *within
	limit  time.Duration
	up     chan *ripwrightv1.RunLineRequest
	down   chan figures
	closed context.Context
}

func (s *stream) Recv() (*ripwrightv1.RunLineRequest, error) {
	m, more := <-s.up
	if !more {
		return nil, io.EOF
	}
	s.w.watch.begin(s.limit)
	return m, nil
}

func (s *stream) Send(m *ripwrightv1.RunLineResponse) error {
	if _, err := encoding.GetCodecV2("proto").Marshal(m); err != nil {
		return err
	}
	f := figures{what: "RipService/RunLine", longest: s.w.watch.longest, gap: s.w.watch.gap}
	f.beyond, f.since = s.w.watch.over()
	if m.GetPlan() == nil {
		f.beyond = min(f.beyond, 0)
	}
	s.down <- f
	return nil
}

func (s *stream) Context() context.Context     { return s.closed }
func (s *stream) SendHeader(metadata.MD) error { return nil }
func (s *stream) SetHeader(metadata.MD) error  { return nil }
func (s *stream) SetTrailer(metadata.MD)       {}
func (s *stream) SendMsg(any) error            { return nil }
func (s *stream) RecvMsg(any) error            { return nil }

// board has a line answer one board within a limit.
func (w *within) board(g *requests.Genes, limit time.Duration) (f figures, err error) {
	j := g.Job()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	s := &stream{w: w, limit: limit, up: make(chan *ripwrightv1.RunLineRequest), down: make(chan figures), closed: ctx}
	ended := make(chan error, 1)
	w.work <- func() { ended <- w.lines.RunLine(s) }
	for n, m := range []*ripwrightv1.RunLineRequest{
		{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: j.SetUp()}},
		{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: j.Board, AnswerWithinMs: proto.Float64(float64(limit) / float64(time.Millisecond))}}},
	} {
		m.Sequence = int32(n + 1)
		s.up <- m
		select {
		case f = <-s.down:
		case err := <-ended:
			return f, err
		}
	}
	close(s.up)
	return f, <-ended
}
