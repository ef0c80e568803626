package limit

import (
	"context"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/tap"
	"google.golang.org/protobuf/proto"

	"github.com/ripwright/ripwright/server/caller"
	"github.com/ripwright/ripwright/server/memory"
	"github.com/ripwright/ripwright/server/refuse"
)

// call is a gRPC call under way. Its context ends if its request does not arrive.
//
// An unread answer holds the call, and with it its caller's share, until the caller goes
// or the server stops: gRPC keeps what was not read of a call that has ended.
type call struct {
	waiting *time.Timer
	refused error // the call ends at once, with this error

	caller  string
	on      *link // nil: its connection is not followed
	end     func()
	account *memory.Account // what it holds, including its answer until that is sent
	over    func()          // ends it, once
}

// answered ends a call whose handler has returned. gRPC reports that only some time after
// it has sent the answer, and until then the caller may find its next call refused.
func (c *call) answered() {
	if c.on != nil {
		c.over()
	}
}

type callKey struct{}

func callOf(ctx context.Context) *call {
	c, _ := ctx.Value(callKey{}).(*call)
	return c
}

// Tap admits or refuses a call when its headers have arrived, before anything else of it
// has.
func (l *Limits) Tap(who Who) tap.ServerInHandle {
	return func(ctx context.Context, info *tap.Info) (context.Context, error) {
		name := who.RPC(ctx, info.Header)
		ctx = caller.With(ctx, name)
		account := name
		if strings.HasPrefix(info.FullMethodName, "/grpc.health.") {
			account = health + name
		}
		silent, err := l.enter(account)
		ctx, end := context.WithCancel(ctx)
		if err != nil {
			// gRPC keeps a refused call's time limit running, and with it some memory,
			// but not that of a call which is admitted and ends at once.
			if _, limited := ctx.Deadline(); silent && limited {
				return context.WithValue(ctx, callKey{}, &call{waiting: time.AfterFunc(0, end), refused: err}), nil
			}
			end()
			return nil, err
		}
		c := &call{waiting: time.AfterFunc(l.cfg.Receive, end), caller: name, on: linkOf(ctx), end: end, account: l.cfg.Room.Open(name)}
		c.on.begin(c)
		c.over = sync.OnceFunc(func() {
			c.waiting.Stop()
			c.on.finish(c, func() {
				c.account.Close()
				l.Leave(account)
			})
		})
		context.AfterFunc(ctx, c.over)
		return context.WithValue(memory.With(ctx, c.account), callKey{}, c), nil
	}
}

// Unary is an interceptor of unary calls: the request has arrived. The answer counts as
// the caller's until it is sent.
func (l *Limits) Unary(ctx context.Context, req any, _ *grpc.UnaryServerInfo, next grpc.UnaryHandler) (any, error) {
	if c := callOf(ctx); c != nil {
		if c.refused != nil {
			return nil, c.refused
		}
		defer c.answered()
		c.waiting.Stop()
		c.on.whole(c)
		answer, err := next(ctx, req)
		if m, is := answer.(proto.Message); is && err == nil && !c.account.Take(int64(proto.Size(m))) {
			l.watch.TurnedAway(c.caller, "memory")
			return nil, Untaken()
		}
		return answer, err
	}
	return next(ctx, req)
}

// Untaken refuses an answer to a caller that leaves too many unread.
func Untaken() error {
	return refuse.Share("answers that this caller has not read have reached their memory limit", time.Second)
}

// Stream is an interceptor of streams. The first message must arrive in time; the others
// may take any time. A sent message counts as the caller's until the next is sent, which
// gRPC accepts only once nearly all before it has left.
func (l *Limits) Stream(srv any, s grpc.ServerStream, info *grpc.StreamServerInfo, next grpc.StreamHandler) error {
	if c := callOf(s.Context()); c != nil {
		if c.refused != nil {
			return c.refused
		}
		defer c.answered()
		s = &stream{ServerStream: s, call: c, line: info.IsClientStream, watch: l.watch}
	}
	return next(srv, s)
}

type stream struct {
	grpc.ServerStream
	call *call
	came atomic.Bool // its first message has
	// line: the stream lasts as long as its caller likes, and is not ended for unread
	// messages: they count, and leave less room for others.
	line  bool
	watch Watcher
	sent  int64 // size of the last message; one goroutine sends
}

// SendMsg implements grpc.ServerStream.
func (s *stream) SendMsg(m any) error {
	p, is := m.(proto.Message)
	if !is {
		return s.ServerStream.SendMsg(m)
	}
	size := int64(proto.Size(p))
	switch {
	case s.line:
		s.call.account.Force(size)
	case !s.call.account.Take(size):
		s.watch.TurnedAway(s.call.caller, "memory")
		return Untaken()
	}
	err := s.ServerStream.SendMsg(m)
	s.call.account.Give(s.sent)
	s.sent = size
	return err
}

// RecvMsg implements grpc.ServerStream.
func (s *stream) RecvMsg(m any) error {
	err := s.ServerStream.RecvMsg(m)
	if !s.came.Swap(true) {
		s.call.waiting.Stop()
		s.call.on.whole(s.call)
	}
	return err
}
