package intake

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/mem"

	"github.com/ripwright/ripwright/proto/codec"
	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/server/arrival"
	"github.com/ripwright/ripwright/server/handling"
	"github.com/ripwright/ripwright/server/memory"
)

// gate reads a service's requests, with room for all of them.
func gate() *Gate {
	return &Gate{Limits: LimitsOf(1 << 20), Room: memory.NewRoom(1 << 20), Desk: handling.New()}
}

// A call's request had arrived before it is decoded, however long that takes. Time stands
// still but for what the test waits.
func TestArriving(t *testing.T) { synctest.Test(t, arriving) }

func arriving(t *testing.T) {
	var began, came time.Time
	d := &grpc.ServiceDesc{Methods: []grpc.MethodDesc{{Handler: func(_ any, ctx context.Context, decode func(any) error, _ grpc.UnaryServerInterceptor) (any, error) {
		err := decode(&ripwrightv1.QuoteOrderRequest{})
		came = arrival.Of(ctx, time.Now())
		return nil, err
	}}}}
	_, err := gate().Serve(d).Methods[0].Handler(nil, context.Background(), func(v any) error {
		err := v.(codec.Reader).Read(mem.BufferSlice{})
		began = time.Now()
		time.Sleep(10 * time.Millisecond)
		return err
	}, nil)
	if err != nil || !came.Equal(began) {
		t.Errorf("came at %v, decoded from %v on: %v", came, began, err)
	}
}

// slowly is a stream whose one message takes a while to arrive and a while to decode.
type slowly struct {
	grpc.ServerStream
	whole time.Time
}

func (s *slowly) Context() context.Context { return context.Background() }

func (s *slowly) RecvMsg(v any) error {
	time.Sleep(10 * time.Millisecond)
	s.whole = time.Now()
	err := v.(codec.Reader).Read(mem.BufferSlice{})
	time.Sleep(10 * time.Millisecond)
	return err
}

// The one request of a stream had arrived when it was whole, neither when its call began
// nor after it was decoded. On a line every message is a separate request.
func TestArrivingOnStreams(t *testing.T) { synctest.Test(t, arrivingOnStreams) }

func arrivingOnStreams(t *testing.T) {
	for _, goesOn := range []bool{false, true} {
		var came, read time.Time
		s := &slowly{}
		d := &grpc.ServiceDesc{Streams: []grpc.StreamDesc{{ServerStreams: true, ClientStreams: goesOn, Handler: func(_ any, stream grpc.ServerStream) error {
			err := stream.RecvMsg(&ripwrightv1.WatchQuoteRequest{})
			read = time.Now()
			came = arrival.Of(stream.Context(), read)
			return err
		}}}}
		if err := gate().Serve(d).Streams[0].Handler(nil, s); err != nil {
			t.Fatal(err)
		}
		if goesOn && !came.Equal(read) {
			t.Errorf("on a line a limit would count from %v before the message was read", read.Sub(came))
		}
		if !goesOn && !came.Equal(s.whole) {
			t.Errorf("it was whole at %v, read at %v, and came at %v", s.whole, read, came)
		}
	}
}
