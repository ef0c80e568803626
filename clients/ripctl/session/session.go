// Package session holds a run on a live line together over broken connections.
//
// It sends one message at a time and waits for its answer. With every answer comes
// the run's state; when the stream breaks, a new one resumes from the last state
// and the message without an answer is sent again under its own number. So nothing
// is lost and nothing counts twice, whichever replica answers.
package session

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Stream is a run's stream, as a client's RunLine gives it.
type Stream = grpc.BidiStreamingClient[ripwrightv1.RunLineRequest, ripwrightv1.RunLineResponse]

// Session is a run. It is used by one goroutine.
type Session struct {
	// Dial begins a stream on a connection that stands, or that is made anew.
	Dial func(context.Context) (Stream, error)
	// Within is how long one answer may take, above 0.
	Within time.Duration
	// Patience is how long the service may be out of reach before a message is
	// given up.
	Patience time.Duration
	// Broke is told of every break, with the number of the message that goes again;
	// nil: nobody is.
	Broke func(sequence int32, err error)

	sequence int32  // of the last message that was begun
	state    []byte // of the last answer
	stream   Stream // nil: none stands
	hangUp   context.CancelFunc
}

// ErrLate is the end of a wait for an answer.
var ErrLate = errors.New("no answer in time")

// pause is how long to wait between two attempts to connect.
const pause = 100 * time.Millisecond

// Ask sends the next message, whose number it sets, and gives its answer. An error
// is the run's end: what cannot be resumed, or what stayed out of reach for longer
// than Patience.
func (s *Session) Ask(ctx context.Context, m *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
	s.sequence++
	m.Sequence = s.sequence
	var since time.Time // of the first break of this message
	for {
		a, err := s.once(ctx, m)
		if err == nil {
			s.state = a.GetState()
			return a, nil
		}
		s.Close()
		if ctx.Err() != nil {
			return nil, status.FromContextError(ctx.Err()).Err()
		}
		if !broken(err) {
			return nil, err
		}
		if since.IsZero() {
			since = time.Now()
			if s.Broke != nil {
				s.Broke(m.GetSequence(), err)
			}
		} else if time.Since(since) > s.Patience {
			return nil, err
		}
		select {
		case <-time.After(pause):
		case <-ctx.Done():
		}
	}
}

// broken tells a stream that can be resumed from one that the service has ended
// for good.
func broken(err error) bool {
	return errors.Is(err, io.EOF) || status.Code(err) == codes.Unavailable
}

// Close ends the stream.
func (s *Session) Close() {
	if s.hangUp != nil {
		s.hangUp()
	}
	s.stream, s.hangUp = nil, nil
}

// once sends a message on a stream that stands, or on a new one.
func (s *Session) once(ctx context.Context, m *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
	if s.stream == nil {
		if err := s.connect(ctx); err != nil {
			return nil, err
		}
	}
	a, err := s.exchange(m)
	if err == nil && a.GetSequence() != m.GetSequence() {
		err = fmt.Errorf("message %d was answered as %d", m.GetSequence(), a.GetSequence())
	}
	return a, err
}

// connect begins a stream and resumes the run on it, if it has begun.
func (s *Session) connect(ctx context.Context) error {
	ctx, s.hangUp = context.WithCancel(ctx)
	var err error
	if s.stream, err = s.Dial(ctx); err != nil || s.state == nil {
		return err
	}
	a, err := s.exchange(&ripwrightv1.RunLineRequest{Message: &ripwrightv1.RunLineRequest_Resume{Resume: &ripwrightv1.LineResume{State: s.state}}})
	if err == nil && a.GetSequence() != s.sequence-1 {
		err = fmt.Errorf("the run was resumed at message %d, not %d", a.GetSequence(), s.sequence-1)
	}
	return err
}

// exchange sends a message and waits for an answer.
func (s *Session) exchange(m *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
	late := time.AfterFunc(s.Within, s.hangUp)
	// A send that fails says only that the stream has ended; why, Recv tells.
	if err := s.stream.Send(m); err != nil && !errors.Is(err, io.EOF) {
		return nil, s.why(late, err)
	}
	a, err := s.stream.Recv()
	if err != nil {
		return nil, s.why(late, err)
	}
	if !late.Stop() {
		return nil, ErrLate // the stream is being hung up
	}
	return a, nil
}

// why tells an answer that came too late from other errors.
func (s *Session) why(late *time.Timer, err error) error {
	if !late.Stop() {
		return ErrLate
	}
	return err
}
