package main

import (
	"context"
	"errors"
	"io"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
	"github.com/ripwright/ripwright/testdata/requests"
)

// send sends a request and waits for its answer, of a stream for the last one.
func send(ctx context.Context, conn *grpc.ClientConn, c *requests.Call, request, answer proto.Message) error {
	if m, is := request.(*ripwrightv1.WatchQuoteRequest); is {
		s, err := ripwrightv1.NewPlanningServiceClient(conn).WatchQuote(ctx, m)
		for err == nil {
			_, err = s.Recv()
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		return err
	}
	return conn.Invoke(ctx, "/ripwright.v1."+c.Name, request, answer, grpc.MaxCallRecvMsgSize(64<<20))
}
