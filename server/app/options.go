package app

import (
	"math"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/keepalive"

	"github.com/ripwright/ripwright/proto/codec"
	"github.com/ripwright/ripwright/server/explain"
	"github.com/ripwright/ripwright/server/front"
	"github.com/ripwright/ripwright/server/limit"
)

const (
	// mostHeader bounds a call's headers, of which a token is the longest.
	mostHeader = 16 << 10
	// mostStreams bounds the calls on one connection.
	mostStreams = 250
	// A call's unread messages may fill window, all those of a connection connWindow.
	// Both are fixed, as windows that grow with the network's speed let callers fill the
	// memory.
	window     = 256 << 10
	connWindow = 1 << 20
	// shake is the time within which a new connection must begin to speak HTTP/2.
	shake = 10 * time.Second
	// ping is how long a connection may be silent before its other end is asked whether
	// it is alive, pong how long that may take to answer, and leastPing how often callers
	// may ask the same.
	ping      = time.Minute
	pong      = 20 * time.Second
	leastPing = 5 * time.Second
)

// outerOptions are those of the server that callers reach.
func outerOptions(cfg Config, limits *limit.Limits) []grpc.ServerOption {
	all := []grpc.ServerOption{
		grpc.InTapHandle(limits.Tap(limit.Who{Tokens: cfg.Tokens})),
		grpc.ChainUnaryInterceptor(limits.Unary), grpc.ChainStreamInterceptor(limits.Stream),
		grpc.ForceServerCodecV2(codec.Server()), grpc.MaxRecvMsgSize(cfg.MaxBody), grpc.MaxHeaderListSize(mostHeader), grpc.MaxConcurrentStreams(mostStreams),
		grpc.StaticStreamWindowSize(window), grpc.StaticConnWindowSize(connWindow), grpc.ConnectionTimeout(shake),
		grpc.KeepaliveParams(keepalive.ServerParameters{Time: ping, Timeout: pong, MaxConnectionAge: cfg.Age}),
		grpc.KeepaliveEnforcementPolicy(keepalive.EnforcementPolicy{MinTime: leastPing, PermitWithoutStream: true}),
	}
	creds := insecure.NewCredentials()
	if cfg.Keys != nil {
		creds = credentials.NewTLS(cfg.Keys.Config("h2"))
	}
	all = append(all, grpc.Creds(limits.Watch(explain.Credentials(creds))))
	return traced(all, cfg)
}

// innerOptions are those of the server behind the HTTP side. A JSON body was measured on
// arrival; as protobuf it can be longer.
func innerOptions(cfg Config) []grpc.ServerOption {
	return traced([]grpc.ServerOption{
		grpc.ChainUnaryInterceptor(front.Unary), grpc.ChainStreamInterceptor(front.Stream),
		grpc.MaxRecvMsgSize(math.MaxInt32), grpc.MaxConcurrentStreams(math.MaxInt32),
	}, cfg)
}

func traced(all []grpc.ServerOption, cfg Config) []grpc.ServerOption {
	if spans := cfg.Traces.Server(); spans != nil {
		all = append(all, grpc.StatsHandler(spans))
	}
	return all
}
