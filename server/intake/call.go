package intake

import (
	"context"
	"sync"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/mem"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/handling"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
	"github.com/ripwright/ripwright/solver/fault"
)

// retryAfter is how long callers for whom there is no room are told to wait.
const retryAfter = time.Second

// Full is the refusal of a request for which there is no room.
func Full() error {
	return refuse.Busy("requests under way have reached their memory limit, in all or for this caller", retryAfter)
}

// fullLine ends a line for whose next message there is no room: its client has the last
// state.
var fullLine = refuse.With(codes.Unavailable, ripwrightv1.ErrorReason_ERROR_REASON_BUSY,
	"requests under way have reached their memory limit; resume with the last state on another replica, or later")

// Faults is the refusal of a request that would become too large.
func Faults(l fault.List) error {
	if l[0].Path == "body" {
		return refuse.For(ripwrightv1.ErrorReason_ERROR_REASON_REQUEST_TOO_LARGE, l)
	}
	return refuse.Faults(l)
}

// Gate admits requests.
type Gate struct {
	Limits Limits
	Room   *memory.Room // nil: any amount
	Watch  Watcher
	// Of gives the account of a call that another server has admitted, or nil.
	Of func(context.Context) *memory.Account
	// Desk makes long requests be read in turn; nil: all at once.
	Desk *handling.Desk
}

// counted returns the context of a call with the call's account, if it came through
// another server.
func (g *Gate) counted(ctx context.Context) context.Context {
	if g.Of != nil {
		if a := g.Of(ctx); a != nil {
			return memory.With(caller.With(ctx, a.Caller()), a)
		}
	}
	return ctx
}

// Watcher is told what is refused, for metrics.
type Watcher interface {
	TurnedAway(caller, limit string)
}

// refused is why a request that arrived was not read; interceptors are called all the
// same, since a caller that may not call at all must be told that first.
type refused struct{ err error }

type refusedKey struct{}

// Serve wraps a service so that its requests are measured before they are read. What a
// unary call holds is counted from then to its answer. Calls with one request know when
// it had arrived whole: decoding counts towards their limits of time.
func (g *Gate) Serve(d *grpc.ServiceDesc) *grpc.ServiceDesc {
	out := *d
	out.Methods = make([]grpc.MethodDesc, len(d.Methods))
	for i, m := range d.Methods {
		handler := m.Handler
		m.Handler = func(srv any, ctx context.Context, read func(any) error, next grpc.UnaryServerInterceptor) (any, error) {
			why := &refused{}
			ctx = arrival.Expect(context.WithValue(g.counted(ctx), refusedKey{}, why))
			take, done := g.Room.Part(ctx)
			defer done()
			return handler(srv, ctx, func(v any) error {
				r := &reading{gate: g, ctx: ctx, into: v, take: take}
				if err := read(r); r.err == nil {
					return err
				}
				g.tell(ctx, r.err)
				why.err = r.err
				return nil
			}, next)
		}
		out.Methods[i] = m
	}
	out.Streams = make([]grpc.StreamDesc, len(d.Streams))
	for i, s := range d.Streams {
		handler := s.Handler
		s.Handler = func(srv any, stream grpc.ServerStream) error {
			ctx := g.counted(stream.Context())
			account, done := g.Room.For(ctx)
			defer done()
			ctx = memory.With(ctx, account)
			if !s.ClientStreams { // it has one request, from which its time limit counts
				ctx = arrival.Expect(ctx)
			}
			m := &measured{ServerStream: stream, gate: g, account: account, ctx: ctx, goesOn: s.ClientStreams}
			defer m.end()
			return handler(srv, m)
		}
		out.Streams[i] = s
	}
	return &out
}

func (g *Gate) tell(ctx context.Context, err error) {
	if g.Watch != nil && refuse.IsBusy(err) {
		g.Watch.TurnedAway(caller.Of(ctx), "memory")
	}
}

// Unary is the innermost interceptor: a call whose request was not read ends here.
func Unary(ctx context.Context, req any, _ *grpc.UnaryServerInfo, next grpc.UnaryHandler) (any, error) {
	if why, ok := ctx.Value(refusedKey{}).(*refused); ok && why.err != nil {
		return nil, why.err
	}
	return next(ctx, req)
}

// reading is a request that is measured and then read.
type reading struct {
	gate  *Gate
	ctx   context.Context // of the call
	into  any
	take  func(int64) bool
	sized bool  // entries of its lists are not checked here
	err   error // why it was not read
	holds int64
}

// Message is the message that is read into.
func (r *reading) Message() any { return r.into }

// Read implements codec.Reader.
func (r *reading) Read(data mem.BufferSlice) error {
	asked := time.Now()
	arrival.Came(r.ctx, asked)
	leave, err := r.gate.Desk.Enter(r.ctx, data.Len())
	if err != nil {
		r.err = err
		return nil // otherwise gRPC would answer the call itself
	}
	defer leave()
	arrival.Wait(r.ctx, time.Since(asked))
	if m, ok := r.into.(proto.Message); ok {
		raw := data.MaterializeToBuffer(mem.DefaultBufferPool())
		limits := r.gate.Limits
		limits.Sized = r.sized
		size, wrong := limits.Wire(raw.ReadOnlyData(), m.ProtoReflect().Descriptor())
		raw.Free()
		switch {
		case len(wrong) > 0:
			r.err = Faults(wrong)
		case !r.take(size + int64(data.Len())):
			r.err = Full()
		}
		if r.err != nil {
			return nil // as above
		}
		r.holds = size + int64(data.Len())
	}
	return codec.Read(data, r.into)
}

// ahead is how many messages of a stream may be held at once: those read before their
// turn, and the one whose turn it is.
const ahead = 6

// measured is a stream whose messages are measured.
type measured struct {
	grpc.ServerStream
	gate    *Gate
	account *memory.Account
	ctx     context.Context // with the account
	goesOn  bool            // it is one of many messages
	mu      sync.Mutex
	last    [ahead]int64 // what the last messages hold
	at      int
}

// end gives back what its messages hold. A message that is still being read stays counted
// until the call's account is closed.
func (m *measured) end() {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, n := range m.last {
		m.account.Give(n)
		m.last[i] = 0
	}
}

// Context implements grpc.ServerStream.
func (m *measured) Context() context.Context { return m.ctx }

// RecvMsg implements grpc.ServerStream.
func (m *measured) RecvMsg(v any) error {
	m.mu.Lock()
	m.account.Give(m.last[m.at])
	m.last[m.at] = 0
	m.mu.Unlock()
	r := &reading{gate: m.gate, ctx: m.ctx, into: v, take: m.account.Take, sized: m.goesOn}
	err := m.ServerStream.RecvMsg(r)
	if r.err != nil {
		m.gate.tell(m.Context(), r.err)
		if refuse.IsBusy(r.err) && m.goesOn {
			return fullLine
		}
		return r.err
	}
	m.mu.Lock()
	m.last[m.at] = r.holds
	m.at = (m.at + 1) % ahead
	m.mu.Unlock()
	return err
}
