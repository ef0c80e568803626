package tee_test

import (
	"context"
	"fmt"
	"net"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/test/bufconn"

	"github.com/ripwright/ripwright/clients/stacker/tee"
)

// Calls of every kind go through a tee to the service behind it.
func ExampleNew() {
	behind := grpc.NewServer()
	grpc_health_v1.RegisterHealthServer(behind, health.NewServer())
	conn, endBehind, err := within(behind)
	if err != nil {
		fmt.Println(err)
		return
	}
	defer endBehind()
	through, end, err := within(tee.New(conn, nil))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer end()
	answer, err := grpc_health_v1.NewHealthClient(through).Check(context.Background(), &grpc_health_v1.HealthCheckRequest{})
	fmt.Println(answer.GetStatus(), err)
	// Output: SERVING <nil>
}

// within serves in this process, until it is ended, and connects to it.
func within(s *grpc.Server) (*grpc.ClientConn, func(), error) {
	pipe := bufconn.Listen(1 << 16)
	conn, err := grpc.NewClient("passthrough:///example", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return pipe.DialContext(ctx) }))
	if err != nil {
		return nil, nil, err
	}
	served := make(chan error, 1)
	go func() { served <- s.Serve(pipe) }()
	return conn, func() {
		_ = conn.Close()
		s.Stop()
		if err := <-served; err != nil {
			fmt.Println(err)
		}
	}, nil
}
