package session

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// service is a stand-in that numbers its states, counts each message once however often
// it comes, and records what it was sent.
type service struct {
	heard []string
	// before and after have errors by the number of the exchange: before the message was
	// taken, or after it.
	before, after map[int]error
	exchanges     int
	known         int32 // the last message taken, by the state given out
	elsewhere     int32 // offset at which it resumes
}

type stream struct {
	grpc.ClientStream
	s    *service
	ctx  context.Context
	last *ripwrightv1.RunLineRequest
}

func (s *service) dial(ctx context.Context) (Stream, error) { return &stream{s: s, ctx: ctx}, nil }

func (m *stream) Send(q *ripwrightv1.RunLineRequest) error { m.last = q; return nil }

func (m *stream) Recv() (*ripwrightv1.RunLineResponse, error) {
	s, q := m.s, m.last
	s.exchanges++
	if err := s.before[s.exchanges]; err != nil {
		return nil, err
	}
	state := func(n int32) []byte { return []byte{byte(n)} }
	if r := q.GetResume(); r != nil {
		s.known = int32(r.GetState()[0])
		s.heard = append(s.heard, "resume "+string('0'+s.known))
		return &ripwrightv1.RunLineResponse{Sequence: s.known + s.elsewhere, State: r.GetState()}, s.after[s.exchanges]
	}
	if q.GetSequence() == 9 { // never answers
		<-m.ctx.Done()
		return nil, status.FromContextError(m.ctx.Err()).Err()
	}
	s.heard = append(s.heard, string('0'+q.GetSequence()))
	if err := s.after[s.exchanges]; err != nil {
		return nil, err
	}
	s.known = q.GetSequence()
	return &ripwrightv1.RunLineResponse{Sequence: q.GetSequence(), State: state(q.GetSequence())}, nil
}

func ask(t *testing.T, s *Session, n int) error {
	t.Helper()
	for range n {
		if _, err := s.Ask(t.Context(), &ripwrightv1.RunLineRequest{}); err != nil {
			return err
		}
	}
	return nil
}

var gone = status.Error(codes.Unavailable, "gone")

// Wherever a stream breaks, the message without an answer is sent again under its own
// number, after a resume with the last state.
func TestResumes(t *testing.T) {
	for name, c := range map[string]struct {
		before, after map[int]error
		want          string
	}{
		"never":                     {nil, nil, "1 2 3"},
		"before the first":          {map[int]error{1: gone}, nil, "1 2 3"},
		"after the first was taken": {nil, map[int]error{1: gone}, "1 1 2 3"},
		"before the third":          {map[int]error{3: gone}, nil, "1 2 resume 2 3"},
		"after the second":          {nil, map[int]error{2: gone}, "1 2 resume 1 2 3"},
		"while resuming, twice":     {map[int]error{3: gone, 4: gone}, map[int]error{5: io.EOF}, "1 2 resume 2 resume 2 3"},
	} {
		s := &service{before: c.before, after: c.after}
		told, resumed := 0, 0
		k := &Session{Dial: s.dial, Within: time.Minute, Patience: time.Minute, Broke: func(int32, error) { told++ },
			Resumed: func(*ripwrightv1.RunLineResponse) { resumed++ }}
		if err := ask(t, k, 3); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		k.Close()
		if got := strings.Join(s.heard, " "); got != c.want {
			t.Errorf("%s: the service heard %s, want %s", name, got, c.want)
		}
		// A resume that failed is not reported.
		if want := min(strings.Count(c.want, "resume"), 1); resumed != want {
			t.Errorf("%s: %d resumes are reported, want %d", name, resumed, want)
		}
		if want := min(len(c.before)+len(c.after), 1); told != want {
			t.Errorf("%s: %d breaks are reported, want %d", name, told, want)
		}
	}
}

// What cannot be resumed ends the run at once; an unreachable service, once patience is
// over; a slow answer, at its time limit; and a caller that cancels does not wait.
func TestEnds(t *testing.T) {
	for code, again := range map[codes.Code]bool{codes.FailedPrecondition: false, codes.InvalidArgument: false, codes.Internal: false, codes.Unavailable: true} {
		s := &service{before: map[int]error{}}
		for n := range 1000 {
			s.before[n] = status.Error(code, "no")
		}
		k := &Session{Dial: s.dial, Within: time.Minute, Patience: time.Millisecond}
		if err := ask(t, k, 1); status.Code(err) != code || again != (s.exchanges > 1) {
			t.Errorf("%v: %v after %d exchanges", code, err, s.exchanges)
		}
	}
	// A service that resumes elsewhere than at the run's state has lost something.
	s := &service{before: map[int]error{3: gone}, elsewhere: 1}
	k := &Session{Dial: s.dial, Within: time.Minute, Patience: time.Minute}
	if err := ask(t, k, 3); err == nil || !strings.Contains(err.Error(), "resumed at message 3, not 2") {
		t.Error(err)
	}
	s = &service{}
	k = &Session{Dial: s.dial, Within: 20 * time.Millisecond, Patience: time.Minute}
	if err := ask(t, k, 9); !errors.Is(err, ErrLate) {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	k = &Session{Dial: func(context.Context) (Stream, error) { cancel(); return nil, gone }, Within: time.Minute, Patience: time.Hour}
	if _, err := k.Ask(ctx, &ripwrightv1.RunLineRequest{}); status.Code(err) != codes.Canceled {
		t.Error(err)
	}
}

// kept is books in memory that fail on request.
type kept struct {
	pending  *ripwrightv1.RunLineRequest
	sequence int32
	state    []byte
	full     bool
	late     bool // full once a message is stored
}

func (k *kept) Pending(m *ripwrightv1.RunLineRequest) error {
	if k.full {
		return errFull
	}
	k.pending = m
	return nil
}

func (k *kept) Answered(_ *ripwrightv1.RunLineRequest, a *ripwrightv1.RunLineResponse) error {
	if k.full || k.late {
		return errFull
	}
	k.pending, k.sequence, k.state = nil, a.GetSequence(), a.GetState()
	return nil
}

var errFull = errors.New("no space left")

// A client that ends after any message is followed by one that continues from its books,
// and the message without an answer keeps its number.
func TestBooks(t *testing.T) {
	for name, c := range map[string]struct {
		before, after map[int]error
		want          string
	}{
		"between messages":   {nil, nil, "1 2 resume 2 3"},
		"before it was sent": {map[int]error{3: gone}, nil, "1 2 resume 2 3"},
		"after it was taken": {nil, map[int]error{3: gone}, "1 2 3 resume 2 3"},
	} {
		s, b := &service{before: c.before, after: c.after}, &kept{}
		k := &Session{Dial: s.dial, Within: time.Minute, Books: b}
		if err := ask(t, k, 2); err != nil {
			t.Fatal(err)
		}
		ctx, end := context.WithCancel(t.Context())
		if len(c.before)+len(c.after) > 0 {
			k.Broke = func(int32, error) { end() }
			if _, err := k.Ask(ctx, &ripwrightv1.RunLineRequest{}); err == nil || b.pending.GetSequence() != 3 {
				t.Errorf("%s: %v, pending %v", name, err, b.pending)
			}
		}
		end()
		next := &Session{Dial: s.dial, Within: time.Minute, Patience: time.Minute, Books: b}
		next.Resume(b.sequence, b.state)
		m := b.pending
		if m == nil {
			m = &ripwrightv1.RunLineRequest{}
		}
		if a, err := next.Ask(t.Context(), m); err != nil || a.GetSequence() != 3 {
			t.Errorf("%s: %v %v", name, a, err)
		}
		if got := strings.Join(s.heard, " "); got != c.want {
			t.Errorf("%s: the service heard %s, want %s", name, got, c.want)
		}
	}
}

// A message that cannot be stored is not sent; if an answer cannot be stored, it is
// requested again.
func TestFullBooks(t *testing.T) {
	s, b := &service{}, &kept{full: true}
	k := &Session{Dial: s.dial, Within: time.Minute, Patience: time.Minute, Books: b}
	if err := ask(t, k, 1); !errors.Is(err, errFull) || len(s.heard) > 0 {
		t.Errorf("%v after %v", err, s.heard)
	}
	b.full = false
	if err := ask(t, k, 1); err != nil || b.sequence != 1 {
		t.Errorf("%v, answered %d", err, b.sequence)
	}
	b.late = true
	for range 2 {
		if err := ask(t, k, 1); !errors.Is(err, errFull) || b.pending.GetSequence() != 2 {
			t.Errorf("%v, pending %v", err, b.pending)
		}
	}
	b.late = false
	if err := ask(t, k, 2); err != nil || b.sequence != 3 {
		t.Errorf("%v, answered %d", err, b.sequence)
	}
	if got := strings.Join(s.heard, " "); got != "1 2 resume 1 2 resume 1 2 3" {
		t.Errorf("the service heard %s", got)
	}
}
