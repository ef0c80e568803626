package front

import (
	"context"
	"net/http"
	"time"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/memory"
)

// callerKey names the caller to the gRPC server behind the HTTP side, which
// nobody else can reach.
const callerKey = "ripwright-caller"

// accountKey names what the call's memory is counted as, there too.
const accountKey = "ripwright-account"

// call is what is known of a JSON call on its way.
type call struct {
	account *memory.Account
	name    string // of the account
}

type callKey struct{}

func callOf(ctx context.Context) *call {
	c, _ := ctx.Value(callKey{}).(*call)
	return c
}

// limited lets calls through that are within the limits, before anything of their
// bodies is read.
func limited(next http.Handler, c Config, mux *runtime.ServeMux) http.Handler {
	who := limit.Who{Tokens: c.Tokens}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := who.Web(r)
		if err := c.Limits.Enter(name); err != nil {
			onError(r.Context(), mux, newCodec(), w, r, err)
			return
		}
		defer c.Limits.Leave(name)
		on := &call{account: c.Room.Open(name)}
		defer on.account.Close()
		lent, done := c.Room.Lend(on.account)
		defer done()
		on.name = lent
		ctx := context.WithValue(caller.With(r.Context(), name), callKey{}, on)
		next.ServeHTTP(&taken{ResponseWriter: w, within: c.Limits.SendWithin()}, r.WithContext(ctx))
	})
}

// Account gives the account of a call that came over HTTP, to the server behind it.
func Account(room *memory.Room) func(context.Context) *memory.Account {
	return func(ctx context.Context) *memory.Account {
		if name := metadata.ValueFromIncomingContext(ctx, accountKey); len(name) == 1 {
			return room.Lent(name[0])
		}
		return nil
	}
}

// Unary is an interceptor of the gRPC server behind the HTTP side: it takes the
// caller over.
func Unary(ctx context.Context, req any, _ *grpc.UnaryServerInfo, next grpc.UnaryHandler) (any, error) {
	return next(withArrival(from(ctx)), req)
}

// Stream does the same for streams.
func Stream(srv any, s grpc.ServerStream, _ *grpc.StreamServerInfo, next grpc.StreamHandler) error {
	return next(srv, &stream{s, from(s.Context())})
}

func from(ctx context.Context) context.Context {
	if name := metadata.ValueFromIncomingContext(ctx, callerKey); len(name) == 1 {
		return caller.With(ctx, name[0])
	}
	return ctx
}

type stream struct {
	grpc.ServerStream
	ctx context.Context
}

// Context implements grpc.ServerStream.
func (s *stream) Context() context.Context { return s.ctx }

// taken is an answer of which every piece has to be taken in time. Between pieces
// it may take as long as it likes.
type taken struct {
	http.ResponseWriter
	within time.Duration
}

// Write implements http.ResponseWriter.
func (t *taken) Write(b []byte) (n int, err error) {
	err = t.inTime(func() error {
		n, err = t.ResponseWriter.Write(b)
		return err
	})
	return n, err
}

// FlushError is what http.ResponseController flushes by.
func (t *taken) FlushError() error {
	return t.inTime(http.NewResponseController(t.ResponseWriter).Flush)
}

// Flush implements http.Flusher, which the gateway asks for.
func (t *taken) Flush() { _ = t.FlushError() } // the next write says so

// inTime does something that waits for the caller. Without deadlines, as in tests
// that record answers, it just does it.
func (t *taken) inTime(do func() error) error {
	c := http.NewResponseController(t.ResponseWriter)
	if c.SetWriteDeadline(time.Now().Add(t.within)) == nil {
		defer func() { _ = c.SetWriteDeadline(time.Time{}) }() // it could be set before
	}
	return do()
}
