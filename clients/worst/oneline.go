package main

import (
	"context"

	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/requests"
)

// oneLine is a line whose boards are all the same.
type oneLine struct {
	stream ripwrightv1.RipService_RunLineClient
	board  *ripwrightv1.Board
	n      int32
	held   bool // the last board waits for its confirmation
	leave  context.CancelFunc
}

func open(s *service, g *requests.Genes) (*oneLine, error) {
	j := g.Job()
	l := &oneLine{board: j.Board}
	var ctx context.Context
	ctx, l.leave = context.WithCancel(context.Background())
	var err error
	if l.stream, err = s.boards().RunLine(ctx); err != nil {
		return nil, err
	}
	_, err = l.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_SetUp{SetUp: j.SetUp()}})
	return l, err
}

func (l *oneLine) say(m *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
	l.n++
	m.Sequence = l.n
	if err := l.stream.Send(m); err != nil {
		_, err = l.stream.Recv()
		return nil, err
	}
	return l.stream.Recv()
}

// ask has a board answered within ms. Before that it releases the last one.
func (l *oneLine) ask(ctx context.Context, ms float64) error {
	defer context.AfterFunc(ctx, l.leave)()
	answer, err := l.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Board{Board: &ripwrightv1.LineBoard{Board: l.board, AnswerWithinMs: proto.Float64(ms)}}})
	l.held = answer.GetPlan() != nil
	return err // being too late is an answer as well
}

// free confirms the last board as not cut.
func (l *oneLine) free() error {
	if !l.held {
		return nil
	}
	_, err := l.say(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Confirmation{Confirmation: &ripwrightv1.CutConfirmation{
		BoardSequence: l.n, Outcome: ripwrightv1.CutOutcome_CUT_OUTCOME_NOT_CUT}}})
	return err
}
