package front

import (
	"bytes"
	"context"
	"math"
	"net/http"
	"time"

	"github.com/grpc-ecosystem/grpc-gateway/v2/runtime"
	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/limit"
	"github.com/ripwright/ripwright/server/memory"
)

// callerKey names the caller to the gRPC server behind the HTTP side, which nobody else
// can reach.
const callerKey = "ripwright-caller"

// accountKey names the account of the call's memory to that server.
const accountKey = "ripwright-account"

// call is what is known of a JSON call under way.
type call struct {
	account *memory.Account
	name    string // of the account
}

type callKey struct{}

func callOf(ctx context.Context) *call {
	c, _ := ctx.Value(callKey{}).(*call)
	return c
}

// limited admits calls within the limits before it reads anything of their bodies.
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
		answer := c.taken(w, r, on.account, mux)
		defer answer.made() // if nothing was written
		next.ServeHTTP(answer, r.WithContext(ctx))
	})
}

// taken follows an answer until the caller has read it.
func (c *Config) taken(w http.ResponseWriter, r *http.Request, of *memory.Account, mux *runtime.ServeMux) *taken {
	return &taken{ResponseWriter: w, within: c.Limits.SendWithin(), account: of, full: func(w http.ResponseWriter) {
		if c.Watch != nil {
			c.Watch.TurnedAway(of.Caller(), "memory")
		}
		onError(r.Context(), mux, newCodec(), w, r, limit.Untaken())
	}}
}

// paged counts pages and metrics, which are no calls, as their caller's memory until
// read. Each is completed before it is sent, so that nothing it is made from waits.
func paged(next http.Handler, c Config, mux *runtime.ServeMux) http.Handler {
	who := limit.Who{Tokens: c.Tokens}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		account := c.Room.Open(who.Web(r))
		defer account.Close()
		size := 0
		if madeAnew[r.URL.Path] {
			size = math.MaxInt
		}
		leave, err := c.Desk.Enter(caller.With(r.Context(), account.Caller()), size)
		if err != nil {
			return // the caller has gone
		}
		whole := &made{ResponseWriter: c.taken(w, r, account, mux)}
		func() {
			defer leave()
			next.ServeHTTP(whole, r)
		}()
		_, _ = whole.ResponseWriter.Write(whole.Bytes()) // the caller has gone; nothing to tell it
	})
}

// madeAnew are the pages that are made for each request and may be long.
var madeAnew = map[string]bool{"/metrics": true, "/at-work": true, "/page/saws.json": true}

// made is an answer that is written once it is complete.
type made struct {
	http.ResponseWriter
	bytes.Buffer
}

// Write implements http.ResponseWriter.
func (m *made) Write(b []byte) (int, error) { return m.Buffer.Write(b) }

// Account gives the account of a call that came over HTTP to the server behind it.
func Account(room *memory.Room) func(context.Context) *memory.Account {
	return func(ctx context.Context) *memory.Account {
		if name := metadata.ValueFromIncomingContext(ctx, accountKey); len(name) == 1 {
			return room.Lent(name[0])
		}
		return nil
	}
}

// Unary is an interceptor of the gRPC server behind the HTTP side: it takes the caller
// from the metadata.
func Unary(ctx context.Context, req any, _ *grpc.UnaryServerInfo, next grpc.UnaryHandler) (any, error) {
	return next(withArrival(from(ctx)), req)
}

// Stream does the same for streams.
func Stream(srv any, s grpc.ServerStream, _ *grpc.StreamServerInfo, next grpc.StreamHandler) error {
	return next(srv, &stream{s, withArrival(from(s.Context()))})
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

// taken is an answer of which every piece must be read in time, and counts as its
// caller's memory until then. Between pieces any time may pass.
type taken struct {
	http.ResponseWriter
	within  time.Duration
	account *memory.Account
	full    func(http.ResponseWriter) // answers instead if there is no room
	begun   bool                      // part of it was written
	over    bool                      // full has answered instead
	leave   func()                    // ends the turn in which it is made; nil: there is none
}

// inTurn makes a long answer of a call wait for its turn before it is made.
func (c *Config) inTurn(ctx context.Context, w http.ResponseWriter, m proto.Message) error {
	t, is := w.(*taken)
	if !is || m == nil {
		return nil
	}
	t.made() // the message of a stream before this one
	leave, err := c.Desk.Enter(ctx, proto.Size(m))
	if err == nil {
		t.leave = leave
	}
	return err
}

// made ends the turn in which an answer is made.
func (t *taken) made() {
	if t.leave != nil {
		t.leave()
		t.leave = nil
	}
}

// littlePiece is the length of a piece that always finds room: it waits in buffers that
// every connection has, and refusals are no longer.
const littlePiece = 4 << 10

// copies is how often a waiting piece is held: as it is written, and as what it was made
// from.
const copies = 2

// WriteHeader implements http.ResponseWriter.
func (t *taken) WriteHeader(code int) {
	t.made()
	if !t.over {
		t.begun = true
		t.ResponseWriter.WriteHeader(code)
	}
}

// Write implements http.ResponseWriter.
func (t *taken) Write(b []byte) (n int, err error) {
	t.made()
	if t.over {
		return len(b), nil
	}
	if holds := int64(copies * len(b)); len(b) > littlePiece {
		if !t.account.Take(holds) {
			if t.begun { // no more of it follows: its caller must see that it broke off
				panic(http.ErrAbortHandler)
			}
			t.over = true
			t.full(t.ResponseWriter)
			return len(b), nil
		}
		defer t.account.Give(holds)
	}
	t.begun = true
	err = t.inTime(func() error {
		n, err = t.ResponseWriter.Write(b)
		return err
	})
	return n, err
}

// FlushError is called by http.ResponseController.
func (t *taken) FlushError() error {
	return t.inTime(http.NewResponseController(t.ResponseWriter).Flush)
}

// Flush implements http.Flusher, which the gateway asks for.
func (t *taken) Flush() { _ = t.FlushError() } // the next write reports it

// inTime does something that waits for the caller. If deadlines are not supported, as in
// tests that record answers, it just does it.
func (t *taken) inTime(do func() error) error {
	c := http.NewResponseController(t.ResponseWriter)
	if c.SetWriteDeadline(time.Now().Add(t.within)) == nil {
		defer func() { _ = c.SetWriteDeadline(time.Time{}) }() // setting it worked before
	}
	return do()
}
