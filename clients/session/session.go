// Package session keeps a run on a live line going over broken connections.
//
// It sends one message at a time and waits for its answer. Every answer carries the run's
// state; when the stream breaks, a new one resumes from the last state and the message
// without an answer is sent again under its own number. So nothing is lost and nothing
// counts twice, whichever replica answers. With Books it survives the end of the client
// as well.
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

// Stream is a run's stream, as returned by a client's RunLine.
type Stream = grpc.BidiStreamingClient[ripwrightv1.RunLineRequest, ripwrightv1.RunLineResponse]

// Session is a run. It is not safe for concurrent use.
type Session struct {
	// Dial opens a stream, on an existing connection or a new one.
	Dial func(context.Context) (Stream, error)
	// Within is the time limit for one answer, above 0.
	Within time.Duration
	// Patience is how long the service may be unreachable before Ask gives up.
	Patience time.Duration
	// Broke is called at every break, with the number of the message that is sent again;
	// nil: not called.
	Broke func(sequence int32, err error)
	// Resumed is called with the answer to every resume; nil: not called.
	Resumed func(*ripwrightv1.RunLineResponse)
	// Books survive this process; nil: none are kept.
	Books Books

	sequence int32  // of the last answered message
	state    []byte // of the last answer
	stream   Stream // nil: none is open
	hangUp   context.CancelFunc
}

// Books keep a run beyond the life of its process. A client that reopens a run has its
// Session Resume from the last answer in the books and Ask the message that has no answer
// there.
type Books interface {
	// Pending stores a message before it is sent.
	Pending(*ripwrightv1.RunLineRequest) error
	// Answered stores its answer, with the run's state, before Ask returns it.
	Answered(*ripwrightv1.RunLineRequest, *ripwrightv1.RunLineResponse) error
}

// Resume continues the run from a state that answered the message with the given number.
func (s *Session) Resume(sequence int32, state []byte) {
	s.Close()
	s.sequence, s.state = sequence, state
}

// ErrLate says that an answer did not come in time.
var ErrLate = errors.New("no answer in time")

// pause is the time between two attempts to connect.
const pause = 100 * time.Millisecond

// Ask sends the next message, whose number it sets, and gives its answer. After an error
// either the run is over or the same message must be asked again before any other, since
// the service may have taken it.
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
					s.Close() // the service has moved on, and must return to what is stored
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

// broken distinguishes a stream that can be resumed from one that the service has ended
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

// once sends a message on the open stream, or on a new one.
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

// connect opens a stream and resumes the run on it, if it has started.
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
	// A send that fails says only that the stream has ended; Recv gives the reason.
	if err := s.stream.Send(m); err != nil && !errors.Is(err, io.EOF) {
		return nil, s.why(late, err)
	}
	a, err := s.stream.Recv()
	if err != nil {
		return nil, s.why(late, err)
	}
	if !late.Stop() {
		return nil, ErrLate // the stream is being closed
	}
	return a, nil
}

// why distinguishes an answer that came too late from other errors.
func (s *Session) why(late *time.Timer, err error) error {
	if !late.Stop() {
		return ErrLate
	}
	return err
}
