// Package session holds a run on a live line together over broken connections.
//
// It sends one message at a time and waits for its answer. With every answer comes
// the run's state; when the stream breaks, a new one resumes from the last state
// and the message without an answer is sent again under its own number. So nothing
// is lost and nothing counts twice, whichever replica answers. With Books it holds over
// the end of the client as well.
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
	// Patience is how long the service may be out of reach before Ask gives up.
	Patience time.Duration
	// Broke is told of every break, with the number of the message that goes again;
	// nil: nobody is.
	Broke func(sequence int32, err error)
	// Resumed is told of the answer to every resume; nil: nobody is.
	Resumed func(*ripwrightv1.RunLineResponse)
	// Books outlive this process; nil: none are kept.
	Books Books

	sequence int32  // of the last message that was answered
	state    []byte // of the last answer
	stream   Stream // nil: none stands
	hangUp   context.CancelFunc
}

// Books keep a run beyond the process that has it. Who opens a run again has its Session
// Resume from the last answer in the books and Ask the message that they have no answer of.
type Books interface {
	// Pending has a message written down before it is sent.
	Pending(*ripwrightv1.RunLineRequest) error
	// Answered has its answer written down, with the run's state, before Ask gives it.
	Answered(*ripwrightv1.RunLineRequest, *ripwrightv1.RunLineResponse) error
}

// Resume has the run go on from a state that the message of a number was answered with.
func (s *Session) Resume(sequence int32, state []byte) {
	s.Close()
	s.sequence, s.state = sequence, state
}

// ErrLate is the end of a wait for an answer.
var ErrLate = errors.New("no answer in time")

// pause is how long to wait between two attempts to connect.
const pause = 100 * time.Millisecond

// Ask sends the next message, whose number it sets, and gives its answer. An error ends
// the run, or the message without an answer is asked once more before any other: it may
// have been taken.
func (s *Session) Ask(ctx context.Context, m *ripwrightv1.RunLineRequest) (*ripwrightv1.RunLineResponse, error) {
	m.Sequence = s.sequence + 1
	if s.Books != nil {
		if err := s.Books.Pending(m); err != nil {
			return nil, err
		}
	}
	var since time.Time // of the first break of this message
	for {
		a, err := s.once(ctx, m)
		if err == nil {
			if s.Books != nil {
				if err = s.Books.Answered(m, a); err != nil {
					s.Close() // the service has gone on, and is to go back to what is written
					return nil, err
				}
			}
			s.sequence, s.state = m.GetSequence(), a.GetState()
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
			return nil, status.FromContextError(ctx.Err()).Err()
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
	if err == nil && a.GetSequence() != s.sequence {
		err = fmt.Errorf("the run was resumed at message %d, not %d", a.GetSequence(), s.sequence)
	}
	if err == nil && s.Resumed != nil {
		s.Resumed(a)
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
