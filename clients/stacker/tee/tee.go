// Package tee sits between a line and the service: every call and every answer is passed
// on byte for byte, and a Listener gets the messages of live lines.
package tee

import (
	"context"
	"errors"
	"io"
	"strings"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/mem"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// Listener gets the messages of live lines. Its methods may be called concurrently and
// must not block.
type Listener interface {
	Opened()
	Sent(*ripwrightv1.RunLineRequest)
	Answered(*ripwrightv1.RunLineResponse)
	Closed()
}

// most is the longest message that is passed on, in bytes. A line's state alone may have
// 4 MB.
const most = 64 << 20

// New makes a server that passes all calls on to the service at the other end of conn.
func New(conn *grpc.ClientConn, l Listener) *grpc.Server {
	t := &tee{conn, l}
	return grpc.NewServer(grpc.UnknownServiceHandler(t.pass), grpc.ForceServerCodecV2(raw{}), grpc.MaxRecvMsgSize(most), grpc.MaxSendMsgSize(most))
}

type tee struct {
	conn *grpc.ClientConn
	to   Listener
}

// pass passes one call on, with the client's deadline, its metadata (a bearer token among
// them) and the service's status.
func (t *tee) pass(_ any, down grpc.ServerStream) error {
	method, ok := grpc.MethodFromServerStream(down)
	if !ok {
		return status.Error(codes.Internal, "a call without a method")
	}
	ctx, cancel := context.WithCancel(onwards(down.Context()))
	defer cancel()
	up, err := t.conn.NewStream(ctx, &grpc.StreamDesc{ServerStreams: true, ClientStreams: true}, method,
		grpc.ForceCodecV2(raw{}), grpc.MaxCallRecvMsgSize(most), grpc.MaxCallSendMsgSize(most))
	if err != nil {
		return err
	}
	var to Listener
	if method == ripwrightv1.RipService_RunLine_FullMethodName {
		to = t.to
		to.Opened()
		defer to.Closed()
	}
	go func() {
		if err := requests(down, up, to); err != nil {
			cancel() // the line has disconnected, so the service's side ends too
		}
	}()
	return answers(down, up, to)
}

// requests passes messages on until the client ends its side.
func requests(down grpc.ServerStream, up grpc.ClientStream, to Listener) error {
	for {
		var f frame
		err := down.RecvMsg(&f)
		if errors.Is(err, io.EOF) {
			return up.CloseSend()
		}
		if err != nil {
			return err
		}
		// Before it is passed on, so that its answer never comes first.
		if m := new(ripwrightv1.RunLineRequest); to != nil && proto.Unmarshal(f, m) == nil {
			to.Sent(m)
		}
		if up.SendMsg(&f) != nil {
			return nil // the service has ended the call; its status comes with the answers
		}
	}
}

// answers passes messages back until the service ends the call, and gives its status.
func answers(down grpc.ServerStream, up grpc.ClientStream, to Listener) error {
	headed := false
	for {
		var f frame
		err := up.RecvMsg(&f)
		if !headed {
			headed = true
			if h, err := up.Header(); err == nil && h.Len() > 0 {
				_ = down.SetHeader(h) // a client that has disconnected needs none
			}
		}
		if err != nil {
			down.SetTrailer(up.Trailer())
			if errors.Is(err, io.EOF) {
				return nil
			}
			return err
		}
		if err := down.SendMsg(&f); err != nil {
			return err
		}
		if m := new(ripwrightv1.RunLineResponse); to != nil && proto.Unmarshal(f, m) == nil {
			to.Answered(m)
		}
	}
}

// onwards copies a caller's metadata, except for what belongs to its connection.
func onwards(ctx context.Context) context.Context {
	in, _ := metadata.FromIncomingContext(ctx)
	out := metadata.MD{}
	for name, values := range in {
		if !strings.HasPrefix(name, ":") && !strings.HasPrefix(name, "grpc-") && name != "content-type" && name != "user-agent" {
			out[name] = values
		}
	}
	return metadata.NewOutgoingContext(ctx, out)
}

// frame is a message as it is on the wire.
type frame []byte

// raw is a codec that leaves messages unchanged.
type raw struct{}

func (raw) Name() string { return "proto" }

func (raw) Marshal(v any) (mem.BufferSlice, error) {
	f, ok := v.(*frame)
	if !ok {
		return nil, errors.New("not a frame")
	}
	return mem.BufferSlice{mem.SliceBuffer(*f)}, nil
}

func (raw) Unmarshal(data mem.BufferSlice, v any) error {
	f, ok := v.(*frame)
	if !ok {
		return errors.New("not a frame")
	}
	*f = data.Materialize()
	return nil
}
